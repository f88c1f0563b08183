"""What people typed is shown as typed: it is no markup, fetches nothing and runs nothing."""

from __future__ import annotations

import json
import re
from html import escape
from html.parser import HTMLParser

import pytest
from streamlit.testing.v1 import AppTest

from pages.results.redundancy_left import PARTS
from pages.web import typed_texts
from tests.checks.given import answer, tricky
from tests.checks.journal.stored import latest, save
from tests.pages.at_the_screen import unfold
from tests.pages.shown import SCREENS, Holding, Screen, fine, marked_up, said
from tests.rule import Rule

TRICKS = (
    "![x](https://example.invalid/a.png)",
    "<img src=https://example.invalid/b onerror=alert(1)>",
    "<script>alert(2)</script>",
    "[tap](javascript:alert(3))",
    '=HYPERLINK("https://example.invalid")',
    "$\\frac{1}{0}$ :material/delete: :red[x]",
    "`code` **bold** | cell &lt;b&gt; ~~x~~",
    "www.example.invalid me@example.invalid",
)
PAIRS = [" ".join(pair) for pair in zip(TRICKS[::2], TRICKS[1::2], strict=True)]
"""Two in each text: as many as the shortest texts that people write have room for."""
AT_WORK = re.compile(r"(?<!\\)(!?\\?\[[^\]]*(?<!\\)\]\(|<(?=[a-z/!])|\$|`|:(?=\w+[\[/])|www\.|~~|&(?=\w+;))")
"""Markup that is not escaped: images, links, tags, formulas, code, directives, bare addresses, entities."""


def at_work(at: AppTest) -> list[str]:
    """Texts in which something of a trick is markup. Our own bold type, small print, headings and tables are meant."""
    found = []
    for text in marked_up(at):
        ours = text.replace("**", "").replace("&nbsp;", "").replace(":small[:gray[", "").replace(":small[]", "")
        if AT_WORK.search(ours) or "example.invalid" in ours.replace("example\\.invalid", ""):
            found.append(text)
    return found


class Looks(HTMLParser):
    """What of a piece of HTML is more than boxes, tables, bold words and our own looks."""

    TAGS = ("style", "div", "span", "b", "table", "thead", "tbody", "tr", "th", "td", "br")
    ATTRIBUTES = frozenset(("style", "class", "role", "aria-label", "title", "tabindex", "data-name"))

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element: of a few kinds, with no attribute that loads or runs something, nor text of a person in its look."""
        told = {name: value or "" for name, value in attrs}
        own = {name: value for name, value in told.items() if name not in ("aria-label", "title")}
        if tag not in self.TAGS or not told.keys() <= self.ATTRIBUTES:
            self.found.append(f"{tag} {told}")
        if "invalid" in str(own) or "alert" in str(own):
            self.found.append(f"{tag} {own}")


def looks(body: str) -> list[str]:
    """What a piece of HTML must not hold."""
    parser = Looks()
    parser.feed(body)
    parser.close()
    return parser.found


WHERE = [
    *((url_path, {}) for url_path in SCREENS),
    ("common-cause", {"group": "pt-301", "q": "SEP1"}),
    ("common-cause", {"group": "pt-301", "q": "ASM1"}),
    ("common-cause", {"group": "con-210"}),
    ("common-cause", {"group": "pos-210"}),
    ("cyber", {"zone": "sis", "q": "A05"}),
    *(("redundancy", {"function": "SIF-210", "part": part}) for part in PARTS),
    ("zones", {"zone": "field"}),
]


@pytest.mark.parametrize("trick", PAIRS, ids=range(len(PAIRS)))
def test_a_trick_in_every_text_is_shown_as_typed_on_every_screen(holding: Holding, screen: Screen, trick: str) -> None:
    holding(tricky(trick))
    with Rule() as rule:
        for url_path, query in WHERE:
            with rule.case((url_path, query)):
                at = fine(screen(url_path, **query))
                assert trick in said(at), "the name of the plant stands on every screen"
                assert at_work(at) == []
                for body in {html.proto.body for html in at.get("html")} - {typed_texts.TAG}:
                    assert looks(body) == []


@pytest.mark.parametrize("trick", [one for one in TRICKS if "<" in one])
def test_no_tag_of_a_person_reaches_a_chart(holding: Holding, screen: Screen, trick: str) -> None:
    holding(tricky(trick))
    for url_path in SCREENS:
        for one in fine(screen(url_path)).get("plotly_chart"):
            spec = json.loads(one.proto.spec)
            drawn = json.dumps([spec["layout"], [trace.get("hovertemplate") for trace in spec["data"]]])
            assert not re.search(r"<(script|img|a)\b", drawn)


@pytest.mark.parametrize("trick", TRICKS, ids=range(len(TRICKS)))
def test_a_trick_in_a_table_stays_text(holding: Holding, screen: Screen, trick: str) -> None:
    holding(tricky(trick))
    at = unfold(fine(screen("common-cause", group="pt-301")), "listed")
    (held,) = [one for one in at.dataframe if "All answers" in one.proto.alt]
    assert trick in set(held.value["Evidence"]) & set(held.value["Note"])
    assert "link" not in held.proto.columns


@pytest.mark.parametrize("trick", TRICKS[:4], ids=range(4))
def test_a_trick_in_an_evidence_typed_here_is_stored_and_shown_as_typed(
    holding: Holding, screen: Screen, trick: str
) -> None:
    store = holding(tricky("plain words"))
    at = fine(screen("common-cause", group="pt-301", q="SEP4"))
    at.text_input(key="evidence_1_SEP4_group:pt-301").set_value(trick).run()
    assert latest(store, 1, "SEP4", "group:pt-301").answer.evidence == trick
    assert at_work(fine(at)) == []


@pytest.mark.parametrize("trick", TRICKS[:4], ids=range(4))
def test_a_trick_in_the_name_of_another_person_is_shown_as_typed_in_a_message(
    holding: Holding, screen: Screen, trick: str
) -> None:
    store = holding(tricky("plain words"))
    at = fine(screen("common-cause", group="pt-301", q="SEP5"))
    save(store, 1, answer("SEP5", "group:pt-301", "not-met", by=trick), seen=0, writer="other")
    at.button_group(key="value_1_SEP5_group:pt-301").set_value("met").run()
    assert f"{trick} answered this first" in said(fine(at))
    assert at_work(at) == []


@pytest.mark.parametrize("trick", TRICKS[1:3])
def test_the_search_for_more_than_looks_finds_it(trick: str) -> None:
    assert looks(f'<div style="color:red">{trick}</div>')
    assert looks('<div style="background:url(//example.invalid)">')
    assert not looks(f'<div style="color:red" aria-label="{escape(trick)}">{escape(trick)}</div>')


def test_the_search_for_markup_at_work_finds_it() -> None:
    for text in (*TRICKS[:4], TRICKS[5], TRICKS[6], TRICKS[7]):
        assert AT_WORK.search(text.replace("**", "")), text
