"""What to write instead where a file is not readable as YAML: a colon or an apostrophe in a text, a tab."""

from __future__ import annotations

import re
from collections.abc import Iterable

GENERAL = "check indentation, brackets and quotes"
TABS = "indent with spaces, never with tabs: write two spaces in place of each tab"
LONGEST = 500
"""Characters of a line beyond which it is not looked at."""
_END = r"\s*(?=[,}]|$)"
_WITH_COLON = re.compile(rf"([\w.-]+):\s+([^\s'\"\[{{#,}}][^,}}]*?:\s[^,}}]*?){_END}")
_WITH_APOSTROPHE = re.compile(rf"([\w.-]+):\s+'([^']*'[^\s',}}#][^',}}]*?)'?{_END}")
_NOT_CLOSED = re.compile(r"""([\w.-]+):\s+"?((?<=")[^'"]*?|'[^']*?)[\s}\]]*$""")


def hint(text: str, lines: Iterable[int | None]) -> str:
    """What to write instead of what stands in one of these lines, from 1, of a text; the likeliest line first."""
    rows = text.split("\n")
    near = [rows[line - 1].rstrip("\r") for line in lines if line and line <= len(rows)]
    near = [row for row in near if len(row) <= LONGEST]
    if any("\t" in row for row in near):
        return TABS
    for row in near:
        for pattern in (_WITH_COLON, _WITH_APOSTROPHE, _NOT_CLOSED):
            if found := pattern.search(row):
                closed = "close the quotes, or " if pattern is _NOT_CLOSED else ""
                return f"{closed}write the text in double quotes: {found[1]}: {quoted(found[2])}"
    return GENERAL


def quoted(text: str) -> str:
    r"""A text in double quotes, as YAML reads it.

    >>> quoted("Bob's \"old\" pump: north")
    '"Bob\'s \\"old\\" pump: north"'
    """
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
