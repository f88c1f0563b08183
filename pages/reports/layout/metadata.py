"""Metadata of a document as an XMP packet (ISO 16684-1): what a document store reads without opening a page."""

from __future__ import annotations

from datetime import date
from xml.sax.saxutils import escape

PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>en-GB</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>{tool}</xmp:CreatorTool>
<xmp:CreateDate>{day}T00:00:00Z</xmp:CreateDate>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


def xmp_packet(*, title: str, subject: str, tool: str, day: date) -> bytes:
    """The packet in UTF-8; ``title`` and ``subject`` are printable text."""
    words = {"title": escape(title), "subject": escape(subject), "tool": escape(tool), "day": day.isoformat()}
    return PACKET.format(**words).encode()
