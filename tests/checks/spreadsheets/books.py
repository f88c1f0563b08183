"""Workbooks written by hand after ECMA-376 Part 1 (from memory), independent of the reader under test."""

from __future__ import annotations

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
KIND = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATED = "http://schemas.openxmlformats.org/package/2006/relationships"


def related(*kinds_and_targets: tuple[str, str]) -> str:
    inside = "".join(
        f'<Relationship Id="r{at}" Type="{KIND}/{kind}" Target="{target}"/>'
        for at, (kind, target) in enumerate(kinds_and_targets, start=1)
    )
    return f'<?xml version="1.0"?><Relationships xmlns="{RELATED}">{inside}</Relationships>'


def book(sheet: str, *, texts: str = "", styles: str = "", about: str = "", sheets: str = "") -> dict[str, bytes | str]:
    """Parts of a workbook: the rows of its first sheet, shared texts, styles and other parts."""
    names = sheets or '<sheet name="Actions" sheetId="1" r:id="r1"/>'
    return {
        "[Content_Types].xml": "<Types/>",
        "_rels/.rels": related(("officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{KIND}">{about}<sheets>{names}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": related(
            ("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "/xl/sharedStrings.xml"), ("styles", "styles.xml")
        ),
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{MAIN}"><sheetData>{sheet}</sheetData></worksheet>',
        "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}">{texts}</sst>',
        "xl/styles.xml": f'<styleSheet xmlns="{MAIN}">{styles}</styleSheet>',
    }
