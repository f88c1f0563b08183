"""Reach of a compromise: the sentence, the map, the tables, and who may see them."""

from __future__ import annotations

import csv

import pytest
from streamlit.testing.v1 import AppTest

from checks.access.roles import MEMBER, REVIEWER, VIEWER
from checks.analysis import beside_result, uncertainty
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.reach.footholds import from_foothold
from checks.state.live import Live
from checks.text.number_format import small
from demo.load import PLANT
from pages.cached import later
from pages.results import compromise_reach
from scoring.timeline.method import ABOUT
from scoring.uncertainty.method import SEED
from tests.checks.given import plain
from tests.pages.at_the_screen import as_, completed
from tests.pages.shown import Handed, Holding, Screen, chart, fine, rows, said, tables, where, written_in

DEMO = plant_file.read(PLANT)
NOT_INDEPENDENT = "Functions that one zone defeats together"


def _tabs(at: AppTest) -> dict[str, str]:
    """The number in the tab of each zone of the map that has one, by the zone in whose box it lies."""
    notes = chart(at)["layout"]["annotations"]
    boxes = {note["text"][3:5]: (note["x"], note["y"]) for note in notes if note["text"].startswith("<b>Z")}
    tabs = [note for note in notes if note["text"][3:-4].isdigit()]
    return {
        zone: tab["text"][3:-4]
        for tab in tabs
        for zone, (x, y) in boxes.items()
        if 0 < x - tab["x"] < 0.45 and 0 < tab["y"] - y < 0.37
    }


@pytest.mark.usefixtures("store")
def test_the_sentence_says_what_is_reached_and_which_closing_leaves_the_fewest(screen: Screen) -> None:
    """The figures are worked out by hand in tests/checks/analysis/test_footholds.py."""
    shown = said(fine(screen("reach", foothold="Z3")))
    assert "From Z3  Operations a compromise reaches 7 other zones and 7 of 8 functions; closing C3 leaves 1." in shown
    assert "No probability of an attack is assumed or computed." in shown
    assert "Not reached: SIF-210." in shown
    tied = said(fine(screen("reach", foothold="outside")))
    assert "From outside the plant a compromise reaches 8 zones and 7 of 8 functions" in tied
    assert "closing C2 or C9 leaves none." in tied or "closing C9 or C2 leaves none." in tied
    inside = said(fine(screen("reach", foothold="Z5")))
    assert "closing a single conduit saves none of them." in inside
    assert "Closing a single conduit saves no function." in inside


@pytest.mark.usefixtures("store")
def test_the_screen_begins_outside_and_the_choice_is_in_the_address(screen: Screen) -> None:
    at = fine(screen("reach"))
    assert where(at, "foothold") == "outside"
    fine(at.selectbox(key="choose_foothold").set_value("Z6").run())
    assert where(at, "foothold") == "Z6"
    assert "From Z6" in said(at)


@pytest.mark.usefixtures("store")
def test_the_map_has_a_tab_with_the_distance_of_each_zone_reached_and_heavy_lines_on_the_ways(screen: Screen) -> None:
    at = fine(screen("reach", foothold="Z3"))
    reach = from_foothold(DEMO, "Z3")
    assert _tabs(at) == {zone.zone: str(zone.distance) for zone in reach.others}
    texts = written_in(chart(at))
    assert any(text.startswith("Z3") and "foothold" in text for text in texts)
    lines = [shape["line"] for shape in chart(at)["layout"]["shapes"] if shape["type"] == "line"]
    looks = dict(zip(DEMO.conduits, lines, strict=True))
    assert {key for key, line in looks.items() if line["width"] > 2} == {"C1", "C2", "C3", "C4", "C6", "C7", "C8"}
    assert {key for key, line in looks.items() if line["dash"] == "dot"} == {"C5"}, "the closed one"


@pytest.mark.usefixtures("store")
def test_the_tables_hold_zones_functions_closings_and_what_is_not_independent(screen: Screen) -> None:
    at = fine(screen("reach", foothold="Z3"))
    reach, assessment = from_foothold(DEMO, "Z3"), Assessment(DEMO)
    zones = {row["Zone"].split()[0]: row for row in rows(at, "Zones reached")}
    assert {key: row["By conduits"] for key, row in zones.items() if key != "Z3"} == {
        zone.zone: ", ".join(zone.conduits) for zone in reach.others
    }
    functions = {row["Function"].split()[0]: row for row in rows(at, "Functions that fall")}
    assert list(functions) == [fallen.function for fallen in reach.functions]
    for key, row in functions.items():
        result = assessment.function(key)
        assert row["Break-even, common cause"] == small(result.break_even_scored)
        assert row["Break-even, cyber scenario"] == small(result.break_even)
    assert functions["SIF-303"]["Control layer that makes the demand"] == "Z6, after 2 conduits"
    assert functions["SIF-702"]["Control layer that makes the demand"] == "not described"
    closings = [(row["Conduit"], row["Functions left"], row["Zones left"]) for row in rows(at, "Single closings")]
    assert closings == [("C3", "1 of 7", "4 of 8"), ("C4", "2 of 7", "6 of 8")]
    (together,) = rows(at, NOT_INDEPENDENT)
    assert (together["Zone"].split()[0], together["Pairs"]) == ("Z5", "21")
    assert "SIF-303: ls-sis" in together["Functions that fall together, by groups"].splitlines()
    demands = rows(at, "Functions that the zone of their demand defeats")
    assert [row["Function"].split()[0] for row in demands] == ["SIF-303", "SIF-701"]


def test_a_zone_with_two_ways_in_names_the_fewest_conduits_to_close(holding: Holding, screen: Screen) -> None:
    raw = plain()
    raw["conduits"] = {"C1": {"between": ["bpcs", "sis"]}, "C2": {"between": ["bpcs", "sis"]}}
    holding(Plant.model_validate(raw))
    at = fine(screen("reach", foothold="bpcs"))
    assert "closing a single conduit saves none of them." in said(at)
    (cut,) = rows(at, "Fewest conduits to close")
    assert (cut["Conduits to close"], cut["For example"]) == ("2", "C1, C2")
    assert "No function names the zone of its demand" in said(at)


def test_a_plant_without_zones_says_that_there_is_nothing_to_begin_from(holding: Holding, screen: Screen) -> None:
    raw = plain()
    raw |= {"zones": {}, "conduits": {}, "answers": []}
    for group in raw["groups"].values():
        group.pop("zone", None)
    holding(Plant.model_validate(raw))
    assert "No zone is described yet" in said(fine(screen("reach")))


@pytest.mark.usefixtures("store")
def test_a_viewer_sees_no_conduits_and_no_closings_here_and_a_reviewer_does(screen: Screen) -> None:
    """The closings tell an intruder where to go as much as the gap list does, so the screen needs the same permission."""
    at = as_(screen("reach", foothold="Z3"), "VW-1", VIEWER)
    assert "Nothing is shown here" in said(at)
    assert not tables(at, "")
    assert not at.get("plotly_chart")
    for role in (REVIEWER, MEMBER):
        assert rows(as_(screen("reach", foothold="Z3"), "X-1", role), "Single closings")


@pytest.mark.usefixtures("store")
def test_the_filter_by_system_lists_what_belongs_to_it_and_the_csv_holds_what_is_shown(
    screen: Screen, handed_over: Handed
) -> None:
    at = fine(screen("reach", foothold="Z3", filter="S70"))
    functions = [row["Function"].split()[0] for row in rows(at, "Functions that fall")]
    assert functions == [key for key in DEMO.systems["S70"].functions if key != "SIF-210"]
    assert "Of S70: 2 of 2 functions." in said(at)
    zones = {DEMO.groups[group].zone for key in functions for group in DEMO.functions[key].group_ids}
    assert {row["Zone"].split()[0] for row in rows(at, "Zones reached")} == zones
    assert [row["Function"].split()[0] for row in rows(at, "Functions that the zone of their demand defeats")] == [
        "SIF-701"
    ]
    lines = list(csv.reader(handed_over("reach.csv").decode("utf-8-sig").splitlines()))  # waits for the bands
    at = completed(at)
    assert lines[0] == ["Quillmarch Works"]
    assert ["Of system S70"] in lines
    for title in ("Single closings, the most effective first", "Zones reached", "Functions that fall"):
        at_line, shown = lines.index([title]), rows(at, title)
        assert lines[at_line + 1] == list(shown[0])
        assert lines[at_line + 2 : at_line + 2 + len(shown)] == [list(row.values()) for row in shown]
    assert all(
        "SIF-301" not in cell
        for line in lines[lines.index(["Functions that fall"]) : lines.index([NOT_INDEPENDENT])]
        for cell in line
    )
    fine(at.selectbox(key="filter_system").set_value("-").run())
    assert len(rows(at, "Functions that fall")) == 7


def test_each_break_even_has_its_band_from_common_cause_and_stands_beside_the_second_method(
    store: Store, screen: Screen
) -> None:
    at = completed(screen("reach", foothold="Z3"))
    assessment = Live(store, 1).state().assessment
    shown = {row["Function"].split()[0]: row for row in rows(at, "Functions that fall")}
    assert shown
    for key, row in shown.items():
        function, beside = assessment.function(key), beside_result.of_function(assessment, key)
        band = uncertainty.of_function(assessment, key, seed=SEED)
        assert band is not None
        ends = beside_result.break_even_band(function, band)
        worst, best = ("none" if end is None else small(end) for end in ends)
        assert row["5 % to 95 %"] == ("none" if ends == (None, None) else f"{worst} to {best}")
        second = [row[f"Second method, {case}"] for case in ("common cause", "cyber scenario")]
        assert second == [small(end) for end in beside_result.break_evens(function, beside)]
    assert "none to " in {row["5 % to 95 %"][:8] for row in shown.values()}
    assert "is no range of a probability of attack" in said(at)
    assert "The cyber scenario has no band, since no distribution of its inputs is known" in said(at)
    assert f"8,192 points, seed {SEED}, by " in said(at)
    assert f"Second method: {ABOUT.label}." in said(at)


@pytest.mark.usefixtures("store")
def test_the_screen_does_not_wait_for_the_bands_and_many_functions_have_none(
    screen: Screen, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(later, "_later", later.Later(100))
    at = fine(screen("reach", foothold="Z3"))
    assert {row["5 % to 95 %"] for row in rows(at, "Functions that fall")} == {"…"}
    monkeypatch.setattr(compromise_reach, "MOST_BESIDE", 3)
    at = completed(at)
    assert "5 % to 95 %" not in rows(at, "Functions that fall")[0]
    assert "Band and second method are shown for up to 3 functions: choose a system." in said(at)
