"""The tables of the screens hold the figures of the command line, digit for digit, and each chart stands as a table."""

from __future__ import annotations

from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from checks.assessment.assessment import Assessment
from checks.plantfile.plant_file import read
from checks.text.number_format import NONE, measure, measure_name, percent, small, target
from demo.load import PLANT
from pages.presentation.wording import ANSWERS, shortened
from scoring.levels import FOUNDATIONAL
from tests.pages.shown import Screen, chart, fine, in_text, numbers, rows, said, tables, written_in
from tests.rule import Rule

DEMO = read(PLANT)
ASSESSED = Assessment(DEMO)
FUNCTIONS, ZONES = list(DEMO.functions), list(DEMO.zones)
Told = dict[str, Any]
CASES = ("single", "adjusted", "scored", "ideal")

pytestmark = pytest.mark.usefixtures("store")


def results(one: Told) -> dict[str, float]:
    held: dict[str, float] = one["pfd"] if one["demand"] == "low" else one["pfh"]
    return held


def scored(told: Told, function: str, group: str) -> float:
    """Result of a group with common cause, in the measure of a function."""
    found: float = told["groups"][group]["pfd" if told["functions"][function]["demand"] == "low" else "pfh"]["scored"]
    return found


def expected_row(told: Told, key: str) -> dict[str, Any]:
    one, function = told["functions"][key], DEMO.functions[key]
    demand, held = one["demand"], results(one)
    zones = {zone for group in function.groups if (zone := DEMO.groups[group].zone)}
    return {
        "Function": key,
        "Name": function.name,
        "System": next(name for name, system in DEMO.systems.items() if key in system.functions),
        "Measure": "RRF" if demand == "low" else "PFH",
        "Target": target(demand, one["target"]),
        "One channel": measure(demand, held["single"]),
        "With common cause": measure(demand, held["scored"]),
        "Cyber scenario": measure(demand, held["adjusted"]),
        "No common cause": measure(demand, held["ideal"]),
        "Verdict": "meets the target" if one["meets_target"]["scored"] else "falls short",
        "Verdict, cyber scenario": "meets the target" if one["meets_target"]["adjusted"] else "falls short",
        "Share kept": percent(one["share_kept"] if one["benefit_ideal"] >= 1.5 else None),
        "Weakest group": max(function.groups, key=lambda group: scored(told, key, group)),
        "Gaps": str(sum(len(told["zones"][zone]["gaps"]) for zone in zones)),
    }


def test_the_table_of_functions_holds_every_figure_of_every_function(screen: Screen, told: Told) -> None:
    shown = {row["Function"]: row for row in rows(fine(screen("plant")), "Functions with target")}
    assert set(shown) == set(FUNCTIONS)
    for key in FUNCTIONS:
        expected = expected_row(told, key)
        assert {name: shown[key][name] for name in expected} == expected


def test_the_table_of_functions_begins_with_the_worst_margin(screen: Screen, told: Told) -> None:
    margins = []
    for row in rows(screen("plant"), "Functions with target"):
        one = told["functions"][row["Function"]]
        limit = 1.0 / one["target"] if one["demand"] == "low" else one["target"]
        margins.append((limit / results(one)["scored"], limit / results(one)["adjusted"]))
    assert margins == sorted(margins)


def test_the_rails_write_the_figures_of_the_table(screen: Screen) -> None:
    at = fine(screen("plant"))
    texts = [*written_in(chart(at, 0)), *written_in(chart(at, 1))]
    for row in rows(at, "Functions with target"):
        (text,) = [one for one in texts if one.startswith(f"{row['Function']}  ")]
        assert f"{row['Measure']} {row['With common cause']}, target {row['Target']}: " in text
        first, second = text.split("; cyber scenario ")
        assert second.startswith(row["Cyber scenario"])
        assert ("short by" in first) == (row["Verdict"] == "falls short")
        assert ("short by" in second) == (row["Verdict, cyber scenario"] == "falls short")


def test_the_head_counts_the_functions_that_fall_short(screen: Screen, told: Told) -> None:
    verdicts = [one["meets_target"] for one in told["functions"].values()]
    scored_short, adjusted_short = (sum(not one[case] for one in verdicts) for case in ("scored", "adjusted"))
    assert (
        f"{scored_short} of {len(FUNCTIONS)} functions fall short of the target with common cause, "
        f"{adjusted_short} with the cyber scenario."
    ) in said(screen("plant"))


@pytest.mark.parametrize("key", FUNCTIONS)
def test_cases_groups_and_curves_of_a_function_stand_as_tables(screen: Screen, told: Told, key: str) -> None:
    parts = {part: fine(screen("redundancy", function=key, part=part)) for part in ("cases", "beta")}
    with Rule() as rule:
        for part, holds in (("cases", _the_four_cases), ("cases", _the_groups), ("beta", _the_curves)):
            with rule.case(holds.__name__):
                holds(parts[part], told, key)


def _the_four_cases(at: AppTest, told: Told, key: str) -> None:
    one = told["functions"][key]
    held, low = results(one), one["demand"] == "low"
    shown = rows(at, "The four cases")
    assert [row["PFDavg" if low else "PFH [1/h]"] for row in shown] == [small(held[case]) for case in CASES]
    if low:
        assert [row["RRF"] for row in shown] == [measure("low", held[case]) for case in CASES]
    written = [f"{row['Case']}{measure(one['demand'], held[case])}" for row, case in zip(shown, CASES, strict=True)]
    assert [text for text in written_in(chart(at, 0)) if text] == written


def _the_groups(at: AppTest, told: Told, key: str) -> None:
    one, shown = told["functions"][key], {row["Group"]: row for row in rows(at, "Groups with share")}
    assert list(shown) == DEMO.functions[key].groups
    for name, row in shown.items():
        group = told["groups"][name]
        low = one["demand"] == "low"
        assert row["Voting"] == group["voting"]
        cases = group["pfd" if low else "pfh"]
        assert row["Share"] == percent(cases["scored"] / results(one)["scored"])
        assert row[f"{'PFDavg' if low else 'PFH [1/h]'} with common cause"] == small(cases["scored"])
        assert row["With cyber scenario"] == small(cases["adjusted"])
        assert row["Beta"] == percent(group["beta"])
        assert row["Beta, cyber scenario"] == percent(group["beta_adjusted"])
        assert row["Exposure"] == ("not reviewed" if group["exposure"] is None else percent(group["exposure"]))
        split = ASSESSED.group(name).low.scored if low else ASSESSED.group(name).high.scored
        assert split is not None
        assert (row["Independent"], row["Common cause"]) == (
            small(float(split.independent)),
            small(float(split.shared)),
        )
        label = f"{name}  {row['Voting']}  {shortened(DEMO.groups[name].name)}{row['Share']}: "
        assert any(text.startswith(label) for text in written_in(chart(at, 1)))


def _the_curves(at: AppTest, told: Told, key: str) -> None:
    shown = rows(at, "against the beta of")
    lines = {one["name"]: one for one in chart(at, 0)["data"] if one["mode"] == "lines"}
    assert set(lines) == set(shown[0]) - {"beta_int"}
    for name, line in lines.items():
        drawn = dict(zip(map(percent, (x / 100.0 for x in numbers(line["x"]))), numbers(line["y"]), strict=True))
        for row in shown:
            assert row[name] == measure(told["functions"][key]["demand"], 1.0 / drawn[row["beta_int"]])


@pytest.mark.parametrize("key", ZONES)
def test_levels_and_gaps_of_a_zone_stand_as_tables(screen: Screen, told: Told, key: str) -> None:
    at = fine(screen("zones", zone=key))
    with Rule() as rule:
        for name, holds in (("levels", _the_levels), ("gaps", _the_gaps)):
            with rule.case(name):
                holds(at, told, key)


def _the_levels(at: AppTest, told: Told, key: str) -> None:
    one, shown = told["zones"][key], rows(at, "Levels of")
    assert [row["FR"] for row in shown] == list(FOUNDATIONAL)
    for row in shown:
        fr = row["FR"]
        assert row["Target"] == str(one["sl_target"].get(fr, NONE))
        if row["Indicated"] == "nothing asked":
            assert row["Short"] == NONE
            assert row["Asked"].startswith("0 of ")
        else:
            assert row["Indicated"].removesuffix(" achieved") == str(one["sl_indicated"][fr])
            assert row["Short"] == str(one["short"].get(fr, NONE))
    counted = [[int(part) for part in row["Asked"].split(" of ")] for row in shown]
    assert sum(whole for _, whole in counted) == 100
    if DEMO.zones[key].safety_related:
        assert sum(asked for asked, _ in counted) == one["asked"]


def _the_gaps(at: AppTest, told: Told, key: str) -> None:
    """The gaps of the command line."""
    gaps = told["zones"][key]["gaps"]
    if not gaps:
        assert not tables(at, "Gaps of")
        assert "No gaps in this zone." in said(at)
        return
    shown = {row["Id"]: row for row in rows(at, "Gaps of")}
    assert len(shown) == len(gaps)
    for gap in gaps:
        row = shown[gap["topic"] or gap["sr"][0]]
        assert row["Answer"] == ANSWERS[gap["answer"]]
        assert row["Weight"] == (NONE if gap["weight"] is None else str(gap["weight"]))
        assert row["FR"] == (", ".join(gap["fr"]) or NONE)
        assert row["SR"] == (", ".join(gap["sr"]) or NONE)
        assert row["Reach"] == f"{len(gap['reach'])} functions"
        if row["Function"] != NONE:
            name, _, function = row["Function"].partition(" of ")
            one = told["functions"][function]
            assert name == measure_name(one["demand"])
            assert row["Now"] == measure(one["demand"], results(one)["adjusted"])


def test_the_table_of_zones_holds_every_figure_of_every_zone(screen: Screen, told: Told) -> None:
    at = fine(screen("zones"))
    shown = {row["Zone"]: row for row in rows(at, "All zones")}
    assert set(shown) == set(ZONES)
    for key, row in shown.items():
        one = told["zones"][key]
        assert row["Name"] == DEMO.zones[key].name
        assert row["Gaps"] == str(len(one["gaps"]))
        if one["gaps"]:
            assert row["Functions with programmable groups"] == str(len(one["gaps"][0]["reach"]))
            assert row["Reviewed"] == "yes"
            on_lines = f"{key}{row['Name']}{row['Gaps']}gaps".replace(" ", "")
            assert any(on_lines in text.replace(" ", "") for text in written_in(chart(at)))
        for fr in FOUNDATIONAL:
            level = row[fr].split(" of ")
            assert level[0] in ("?", str(one["sl_indicated"][fr]))
            assert level[1:] == ([str(one["sl_target"][fr])] if fr in one["sl_target"] else [])
            assert level[0] != "?" or not DEMO.zones[key].safety_related, "all was asked of the safety zone"


def test_every_conduit_that_is_drawn_stands_in_the_table(screen: Screen) -> None:
    at = fine(screen("zones"))
    shown = {row["Conduit"]: row for row in rows(at, "All conduits")}
    assert set(shown) == set(DEMO.conduits)
    for key, conduit in DEMO.conduits.items():
        assert shown[key]["Between"] == " and ".join(conduit.between)
        assert key in written_in(chart(at))


@pytest.mark.parametrize("key", [key for key, one in DEMO.groups.items() if one.voting.redundant])
def test_the_session_shows_the_betas_and_the_present_result(screen: Screen, told: Told, key: str) -> None:
    at = fine(screen("common-cause", group=key))
    group, shown = told["groups"][key], said(at)
    assert f"**Beta {percent(group['beta'])}**" in shown
    assert f"1oo2 value {percent(group['beta_int'])} × MooN factor {group['voting_factor']:g}" in shown
    assert f"S = {group['score']['s']:g}" in shown
    if DEMO.groups[key].programmable:
        exposed = f"with the cyber scenario, exposure {percent(group['exposure'])}: {percent(group['beta_adjusted'])}"
        assert exposed in shown or group["exposure"] is None


def test_the_cyber_session_shows_the_betas_of_the_zone(screen: Screen, told: Told) -> None:
    shown = {row[0]: row[1:] for row in in_text(fine(screen("cyber", zone="Z5")), "group")}
    assert len(shown) == 7
    for name, row in shown.items():
        group = told["groups"][name]
        adjusted = percent(group["beta_adjusted"])
        assert row == [percent(group["exposure"]), percent(group["beta"]), adjusted, adjusted]
