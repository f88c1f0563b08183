"""Rails as HTML: positions of the parts, text alternative, patterns, and escaping of names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.text.number_format import significant
from pages.charts import rail_html
from pages.charts.chart_data import Bars, Row, Scale
from pages.charts.rails import ALONE, BEFORE, CYBER, KEPT, MEANINGS, RANGE, SHARED, TARGET
from pages.presentation.palette import DARK, LIGHT, Palette

SCALE = Scale(10.0, 100_000.0, "risk reduction factor")
ROW = Row(
    name=("SIF-1", "Pump stops"),
    figures="RRF 1,000 of 10,000; target 100: met by a factor 10",
    bars=((100.0, 1000.0, KEPT), (1000.0, 1000.0 * 10.0**0.5, CYBER), (1000.0 * 10.0**0.5, 10_000.0, SHARED)),
    dot=100.0,
    tick=100.0,
    whisker=(100.0, 10_000.0),
    ghost=(100.0, 10_000.0),
)
Element = tuple[str, dict[str, str]]


class Elements(HTMLParser):
    """Elements with their attributes, the text, and the numbers of the scale, of a piece of HTML."""

    def __init__(self, body: str) -> None:
        super().__init__()
        self.found: list[Element] = []
        self.text = ""
        self.numbers: list[str] = []
        self.open = 0
        self.feed(body)
        self.close()
        assert self.open == 0, "each element is closed"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element begins."""
        self.open += 1
        self.found.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, _tag: str) -> None:
        """An element ends."""
        self.open -= 1

    def handle_data(self, data: str) -> None:
        """Text between elements."""
        self.text += data
        if self.found[-1][0] == "span":
            self.numbers.append(data)


def rendered(
    row: Row = ROW, scale: Scale = SCALE, palette: Palette = LIGHT, legend: tuple[object, ...] = ()
) -> Elements:
    return Elements(rail_html.bar_chart(Bars((row,), scale, (*MEANINGS, *legend)), palette))  # type: ignore[arg-type]


def look(element: Element) -> dict[str, str]:
    return dict(declaration.split(":", 1) for declaration in element[1].get("style", "").split(";") if declaration)


def parts(page: Elements, kind: str) -> Iterator[dict[str, str]]:
    return (look(element) for element in page.found if element[1].get("class") == kind)


def percent(text: str) -> float:
    assert text.endswith("%")
    return float(text[:-1])


@pytest.mark.parametrize(
    ("kind", "left", "wide"),
    [
        ("kept", 25.0, 25.0),
        ("cyber", 50.0, 12.5),
        ("shared", 62.5, 12.5),
        ("range", 25.0, 50.0),
        ("before", 25.0, 50.0),
    ],
)
def test_parts_are_at_the_logarithm_of_their_ends(kind: str, left: float, wide: float) -> None:
    (piece,) = parts(rendered(), kind)
    assert percent(piece["left"]) == pytest.approx(left, abs=1e-3)
    assert percent(piece["width"]) == pytest.approx(wide, abs=1e-3)


@pytest.mark.parametrize("kind", ["target", "alone"])
def test_marks_are_centred_on_their_value(kind: str) -> None:
    (mark,) = parts(rendered(), kind)
    assert percent(mark["left"]) == pytest.approx(25.0)
    assert float(mark["margin-left"][:-2]) == -float(mark["width"][:-2]) / 2.0


def test_missing_parts_of_a_row_are_not_drawn() -> None:
    page = rendered(Row(name=("SIF-1", ""), figures="", bars=((100.0, 100.0, KEPT), (100.0, 1000.0, SHARED))))
    kinds = {element[1].get("class") for element in page.found}
    assert kinds & {"kept", "cyber", "shared", "target", "alone", "range", "before"} == {"shared"}


def test_the_chart_is_one_image_with_a_text_alternative() -> None:
    (image,) = [attributes for _, attributes in rendered().found if "role" in attributes]
    assert (image["role"], image["aria-label"]) == ("img", f"SIF-1: {ROW.figures}")


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_fills_differ_by_pattern(palette: Palette) -> None:
    page = rendered(palette=palette)
    (kept,), (cyber,), (shared,) = (parts(page, kind) for kind in ("kept", "cyber", "shared"))
    assert kept["background"] == palette.kept
    assert cyber["background"].count("repeating-linear-gradient") == 2
    assert shared["background"].count("repeating-linear-gradient") == 1
    assert "border" in next(parts(page, "before"))
    for piece, colour in ((cyber, palette.cyber), (shared, palette.shared)):
        assert piece["background"].endswith(colour)
        assert palette.paper in piece["background"]


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_no_colour_of_another_theme_is_used(palette: Palette) -> None:
    other = DARK if palette is LIGHT else LIGHT
    body = rail_html.bar_chart(Bars((ROW,), SCALE, MEANINGS), palette) + rail_html.legend(palette)
    used = set(re.findall(r"#[0-9A-F]{6}", body))
    assert used
    assert not used & {other.kept, other.cyber, other.shared, other.ink, other.quiet, other.line, other.paper}


def test_the_outline_is_in_the_legend_if_there_may_be_one() -> None:
    assert "dotted: before" in rendered(legend=(BEFORE,)).text
    assert "dotted" not in rendered().text


@pytest.mark.parametrize("typed", ["<b onclick=x>", '"><img src=x>', "a & b < c", "'; &lt;i&gt;", "</div></div>"])
def test_names_are_shown_as_typed(typed: str) -> None:
    page = rendered(Row(name=(f"S{typed}", f"N{typed}"), figures=f"F{typed}"), Scale(1.0, 10.0, f"W{typed}"))
    for letter in "SNFW":
        assert f"{letter}{typed}" in page.text
    assert {tag for tag, _ in page.found} <= {"div", "span", "b"}
    allowed = {"class", "style", "role", "aria-label", "title"}
    assert {name for _, attributes in page.found for name in attributes} <= allowed
    (label,) = [attributes["aria-label"] for _, attributes in page.found if "aria-label" in attributes]
    assert label == f"S{typed}: F{typed}"


def test_hovering_a_rail_gives_its_numbers() -> None:
    page = rendered(ROW)
    (title,) = [attributes["title"] for _, attributes in page.found if "title" in attributes]
    lines = title.split("\n")
    assert lines[0] == ROW.figures
    for start, end, fill in ROW.bars:
        assert f"{fill.label}: {significant(start)} to {significant(end)}" in lines


def test_the_legend_names_all_parts_of_a_rail() -> None:
    text = Elements(rail_html.legend(LIGHT)).text
    for words in (KEPT.label, CYBER.label, SHARED.label, ALONE, TARGET, RANGE):
        assert words in text


@given(st.floats(min_value=1e-3, max_value=1e6), st.floats(min_value=1.1, max_value=1e9))
def test_numbers_on_the_scale_do_not_touch_on_a_phone(low: float, ratio: float) -> None:
    page = rendered(Row(name=("S", ""), figures=""), Scale(low, low * ratio, ""))
    places = [percent(look(element)["left"]) for element in page.found if element[0] == "span"]
    wide = [7.0 * len(number) for number in page.numbers]
    starts = [share / 100.0 * (300.0 - own) for share, own in zip(places, wide, strict=True)]
    ends = [start + own for start, own in zip(starts, wide, strict=True)]
    assert all(end < start for end, start in zip(ends, starts[1:], strict=False))
