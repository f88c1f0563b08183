"""What stands on a screen, read back from it."""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Callable, Sequence
from html.parser import HTMLParser
from typing import Any

import numpy as np
import pandas as pd
from streamlit.testing.v1 import AppTest

from checks.journal.store import Store
from checks.plantfile.plant import Plant
from pages.ui import addresses
from tests.checks.team import Team

Screen = Callable[..., AppTest]
Holding = Callable[[Plant], Store]
Handed = Callable[[str], bytes]
OnScreen = Callable[[Team], Team]

SCREENS = (
    "plant",
    "set-up",
    "bring",
    "common-cause",
    "cyber",
    "prepare",
    "redundancy",
    "what-if",
    "zones",
    "reach",
    "fix",
    "due",
    "again",
    "changed",
    "sign-off",
)
ALERTS = ("error", "warning", "info", "success")


def fine(at: AppTest) -> AppTest:
    """The screen, which drew without an exception and without an error message."""
    assert not at.exception, [one.message for one in at.exception]
    assert not at.error, [one.value for one in at.error]
    return at


def unescaped(text: str) -> str:
    """Markdown text as a reader sees it; an empty piece only divides a text."""
    text = text.replace(":small[]", "")
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", text)


def marked_up(at: AppTest) -> list[str]:
    """Every text of a screen that Streamlit reads as Markdown: bodies, messages, labels and choices of buttons."""
    found = [one.value for kind in ("markdown", "caption", *ALERTS) for one in at.get(kind)]
    found += [one.proto.text for one in at.get("progress")]
    for node in at.main:
        proto: Any = node.proto
        for part in (proto, getattr(proto, "expandable", None), getattr(proto, "popover", None)):
            label = getattr(part, "label", "")
            found += [label] if isinstance(label, str) and label else []
    return found + [choice for one in at.button_group for choice in one.options]


def said(at: AppTest) -> str:
    """All texts of a screen as a reader sees them."""
    return "\n".join(unescaped(one) for one in marked_up(at))


def tables(at: AppTest, alt: str) -> list[pd.DataFrame]:
    """Tables whose text for a screen reader holds these words: grids, and tables whose texts wrap."""
    grids = [one.value for one in at.dataframe if alt in one.proto.alt]
    wrapped = [read for one in at.get("html") for read in read_tables(one.proto.body) if alt in read[0]]
    return grids + [pd.DataFrame(lines, columns=names) for _, names, lines in wrapped]


def read_tables(text: str) -> list[tuple[str, list[str], list[list[str]]]]:
    """The tables of an HTML text: the name, the columns and the rows of each."""
    parser = _Wrapped()
    parser.feed(text)
    parser.close()
    return parser.found


class _Wrapped(HTMLParser):
    """Reads tables of HTML."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, list[str], list[list[str]]]] = []
        self._cells: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin a table, a row, a cell or a line."""
        if tag == "table":
            self.found.append((str(dict(attrs)["aria-label"]), [], []))
        elif tag == "tr":
            head = not self.found[-1][1]
            self._cells = self.found[-1][1] if head else []
            if not head:
                self.found[-1][2].append(self._cells)
        elif tag in ("th", "td") and self._cells is not None:
            self._cells.append("")
        elif tag == "br" and self._cells:
            self._cells[-1] += "\n"

    def handle_endtag(self, tag: str) -> None:
        """End a table."""
        if tag == "table":
            self._cells = None

    def handle_data(self, data: str) -> None:
        """Text of a cell."""
        if self._cells:
            self._cells[-1] += data


def rows(at: AppTest, alt: str) -> list[dict[str, Any]]:
    """Rows of the one table whose text for a screen reader holds these words."""
    (found,) = tables(at, alt)
    return [{str(name): cell for name, cell in row.items()} for row in found.to_dict("records")]


def in_text(at: AppTest, head: str) -> list[list[str]]:
    """Rows of the Markdown table whose first cell of the head reads ``head``, without bold type."""
    for part in (part for text in at.markdown for part in text.value.split("\n\n")):
        lines = unescaped(part).splitlines()
        if lines and lines[0].startswith(f"| {head}"):
            return [[cell.strip(" *") for cell in line.strip("|").split("|")] for line in lines[2:]]
    raise AssertionError(f"no table headed {head}")


def chart(at: AppTest, at_place: int = 0) -> dict[str, Any]:
    """A plotly figure of a screen, in the order they are drawn."""
    proto: Any = at.get("plotly_chart")[at_place].proto
    held: dict[str, Any] = json.loads(proto.spec)
    return held


def written_in(figure: dict[str, Any]) -> list[str]:
    """Texts written into a figure, without the little HTML in them."""
    found = [str(one.get("text", "")) for one in figure["layout"].get("annotations", [])]
    return [re.sub(r"<[^>]*>", "", one) for one in found]


def numbers(held: Any) -> list[float]:
    """Numbers of a trace, also where plotly packed them."""
    if isinstance(held, dict):
        return [float(one) for one in np.frombuffer(base64.b64decode(held["bdata"]), dtype=held["dtype"])]
    return [float(one) for one in held]


def where(at: AppTest, name: str) -> str | None:
    """A query parameter of the address."""
    held = at.query_params.get(name)
    return str(held[0]) if isinstance(held, list) else held


def links(at: AppTest) -> dict[str, str]:
    """Query strings of the links to screens, by label."""
    found: list[Any] = [one.proto for one in at.get("page_link")]
    return {unescaped(one.label): one.query_string for one in found}


def onward(at: AppTest) -> dict[str, str]:
    """The links to screens that are no part of the navigation."""
    navigation = {name for entry in addresses.entries().values() for name in (entry.section, entry.title)}
    return {label: query for label, query in links(at).items() if label.strip("*") not in navigation}


def answers(at: AppTest, question: str, of: str, *, plant: int = 1) -> Any:
    """The control with the six answers to a question of an addressee."""
    return _named(at.button_group, f"value_{plant}_{question}_{of}")


def box(at: AppTest, name: str, question: str, of: str, *, plant: int = 1) -> Any:
    """The box for the evidence or the note."""
    return _named(at.text_input if name == "evidence" else at.text_area, f"{name}_{plant}_{question}_{of}")


def _named(widgets: Sequence[Any], name: str) -> Any:
    """The one widget of this name: a number behind it tells that it took another's place."""
    (found,) = [one for one in widgets if one.key and re.fullmatch(rf"{re.escape(name)}(~~\d+)?", one.key)]
    return found


def type_in(at: AppTest, name: str, question: str, of: str, text: str) -> Any:
    """Type into the box for the evidence or the note."""
    return box(at, name, question, of).set_value(text)
