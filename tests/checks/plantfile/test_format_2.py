"""What format 2 adds to the plant file: each with what is refused, and in which words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from checks.plantfile import entry_checks, plant_file
from checks.plantfile.plant import Function, Plant
from checks.text.faults import Refused
from tests.checks.given import plain, plain_2, told_of_data

Change = Callable[[dict[str, Any]], None]


def _changed(*path: Any, value: Any = None, remove: bool = False) -> dict[str, Any]:
    """The file with everything of format 2, with one place changed or removed."""
    raw: Any = plain_2()
    node = raw
    for step in path[:-1]:
        node = node[step]
    if remove:
        del node[path[-1]]
    else:
        node[path[-1]] = value
    return raw


def test_the_file_with_everything_is_accepted_and_written_back_as_it_is() -> None:
    plant = Plant.model_validate(plain_2())
    assert plant_file.from_text("again", plant_file.to_text(plant)) == plant


GROUPS = [
    (("groups", "pt", "voting"), None, "groups.pt.voting", "M, two letters o, N"),
    (("groups", "pt", "mttr_h"), None, "groups.pt.mttr_h", "hours, 0 to 87,600"),
    (("groups", "pt", "channels"), [], "groups.pt.channels", "one list of device ids"),
    (("groups", "pt", "proof_test"), None, "groups.pt.proof_test", "proof_test, or tests; or a stated_result"),
    (("groups", "pt", "voting"), "2oo3D", "groups.pt.voting", "1oo2D in format 2"),
    (
        ("groups", "pt", "channels", 0, 0),
        {"voting": "1oo2", "of": ["PT", "PT"]},
        "groups.pt.channels.0.0",
        "use timeline",
    ),
    (("groups", "pt", "diagnostic_switch"), 0.9, "groups.pt.diagnostic_switch", "only 1oo2D has a switch"),
    (("groups", "pt", "conventions", "voting_factor"), "x", "groups.pt.conventions.voting_factor", "iec61508-6-2010"),
    (("groups", "ls", "voting"), "1oo1", "groups.ls.voting", "a stated result stands in place of it"),
    (("groups", "ls", "stated_result", "source"), " ", "groups.ls.stated_result.source", "requires the source"),
    (("groups", "ls", "stated_result"), {"source": "s"}, "groups.ls.stated_result.pfd", "pfd, pfh or both"),
    (("groups", "ls", "stated_result", "pfd"), 0, "groups.ls.stated_result.pfd", "above 0 and below 1"),
    (("groups", "cpu", "diagnostic_switch"), None, "groups.cpu.diagnostic_switch", "1oo2D needs it"),
    (("groups", "cpu", "channels"), [["CPU"], ["PT"]], "groups.cpu.channels", "like channels"),
    (
        ("groups", "ft", "stated_beta", "of"),
        "both",
        "groups.ft.stated_beta.of",
        "pair (times the MooN factor) or group",
    ),
    (("devices", "CPU", "lambda_sd_fit"), 0, "groups.cpu.channels", "lambda_sd_fit of a device"),
    (("devices", "CPU", "lambda_sd_fit"), 2600, "devices.CPU.lambda_sd_fit", "at most lambda_s_fit"),
    (("groups", "ft", "observed_since"), "last year", "groups.ft.observed_since", "2025-03-04"),
    (("devices", "SOV", "error_factor"), 0.5, "devices.SOV.error_factor", "1 to 100"),
    (("devices", "PT", "type"), "C", "devices.PT.type", "A or B"),
    (("devices", "PT", "field_data", "confidence"), 90, "devices.PT.field_data.confidence", "90 % = 0.9"),
    (
        ("devices", "PT", "field_data", "source"),
        " ",
        "devices.PT.field_data.source",
        "requires the source of field data",
    ),
    (("devices", "PT", "systematic_capability", "sc"), 5, "devices.PT.systematic_capability.sc", "1, 2, 3 or 4"),
    (("devices", "PT", "systematic_capability", "sc"), 2.5, "devices.PT.systematic_capability.sc", "1, 2, 3 or 4"),
    (
        ("devices", "PT", "systematic_capability"),
        {"sc": 2},
        "devices.PT.systematic_capability.source",
        "requires the source",
    ),
    (
        ("groups", "ls", "systematic_capability"),
        {"sc": 2},
        "groups.ls.systematic_capability.source",
        "requires the source",
    ),
    (("groups", "ls", "systematic_capability"), 3, "groups.ls.systematic_capability", "a mapping of keys and values"),
]
TESTS = [
    (("tests",), None, "groups.esv.proof_test", "proof_test, or tests"),
    (("tests", 0, "coverage"), None, "groups.esv.tests.0.coverage", "0 to 1"),
    (("tests", 1, "coverage"), 0.97, "groups.esv.tests.0.coverage", "at least what a more frequent one finds"),
    (("tests", 1, "devices"), ["PT"], "groups.esv.tests.1.devices.0", "devices of its channels: SOV, ESV"),
    (("tests", 0, "offsets_h"), [0], "groups.esv.tests.0.offsets_h", "one for each of the 2 channels"),
    (("tests", 0, "offsets_h"), [0, 9000], "groups.esv.tests.0.offsets_h.1", "at most the interval"),
    (("tests", 0, "duration_h"), 8761, "groups.esv.tests.0.duration_h", "0 to 8760"),
    (("tests", 1, "duration_h"), 721, "groups.esv.tests.1.duration_h", "at most the interval"),
    (("tests", 0, "bypass"), None, "groups.esv.tests.0.bypass", "out of service during the test"),
    (("tests", 0, "bypass"), "channel", "groups.esv.tests.0.bypass", "timeline"),
    (("tests", 0, "error"), 1.5, "groups.esv.tests.0.error", "0.1 % = 0.001"),
    (("proof_test",), {"interval_h": 8760, "coverage": 1.0}, "groups.esv.tests", "either proof_test or tests"),
]
FUNCTIONS = [
    (("SIF-1", "target_sil"), None, "functions.SIF-1.target_rrf", "or target_sil in format 2"),
    (("SIF-1", "target_sil"), 5, "functions.SIF-1.target_sil", "1, 2, 3 or 4"),
    (("SIF-1", "target_rrf"), 100, "functions.SIF-1.target_sil", "one target"),
    (("SIF-1", "groups", 0, "group"), "none", "functions.SIF-1.groups.0", "not among the groups"),
    (("SIF-1", "groups", 0, "voting"), "1oo2", "functions.SIF-1.groups.0.voting", "the group has 3"),
    (("SIF-1", "groups", 1), {"group": "ls", "voting": "1oo1"}, "functions.SIF-1.groups.1.voting", "has no voting"),
    (("SIF-1", "groups", 1), "pt", "functions.SIF-1.groups.1", "listed twice"),
    (("SIF-2", "groups", 0, "any"), ["ft"], "functions.SIF-2.groups.0.any", "at least 2 entries"),
    (("SIF-2", "groups", 0, "any"), ["ft", "nix"], "functions.SIF-2.groups.0", "nix is not among the groups"),
    (("SIF-2", "groups", 0, "stated_beta", "source"), "", "functions.SIF-2.groups.0.stated_beta.source", "source"),
    (("SIF-1", "demand_zone"), "nix", "functions.SIF-1.demand_zone", "nix is not among the zones"),
    (("SIF-1", "demand_zone"), ["pkg"], "functions.SIF-1.demand_zone", "a zone id"),
]
CONDUITS = [
    (("C1", "one_way_to"), "outside", "conduits.C1.one_way_to", "outside is not an end of it; one of the two ends"),
    (("C1", "one_way_to"), True, "conduits.C1.one_way_to", "one of the two ends"),
]
CASES = [
    *GROUPS,
    *((("groups", "esv", *path), value, place, words) for path, value, place, words in TESTS),
    *((("functions", *path), value, place, words) for path, value, place, words in FUNCTIONS),
    *((("conduits", *path), value, place, words) for path, value, place, words in CONDUITS),
]


@pytest.mark.parametrize(("path", "value", "place", "words"), CASES)
def test_what_does_not_fit_is_refused_at_its_place_with_what_is_allowed(
    path: tuple[Any, ...], value: Any, place: str, words: str
) -> None:
    lines = told_of_data(_changed(*path, value=value, remove=value is None))
    assert any(line.startswith(f"plant: {place} (line ") and words in line for line in lines), lines


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (("conventions", "mission_h"), "a rest"),
        (("groups", "pt", "proof_test", "coverage"), "format 2 has no default"),
        (("groups", "ls", "stated_result", "pfh"), "ls states no pfh"),
    ],
)
def test_what_is_needed_elsewhere_is_missed(path: tuple[Any, ...], words: str) -> None:
    raw = _changed(*path, remove=True)
    del raw["groups"]["esv"]["tests"][2]  # no overhaul: 5 % are never found
    assert any(words in line for line in told_of_data(raw))


def test_a_mission_shorter_than_a_test_interval_is_refused_where_there_is_a_rest() -> None:
    raw = _changed("conventions", "mission_h", value=8760)
    assert told_of_data(raw) == []
    raw["groups"]["esv"]["tests"][2]["coverage"] = 0.99
    (line,) = told_of_data(raw)
    assert "groups.esv.tests (line " in line
    assert "at least the longest interval" in line


def test_a_group_without_redundancy_is_not_voted_redundantly_elsewhere() -> None:
    """Its questions belong to the group, which then has none."""
    raw = _changed("groups", "pt", "voting", value="3oo3")
    (line,) = told_of_data(raw)
    assert "give the group 1oo3, and 3oo3 to the functions that need it" in line


def test_a_beta_of_the_whole_group_needs_no_moon_factor() -> None:
    raw = _changed("groups", "ft", "channels", value=[["FT"] for _ in range(8)])
    raw["groups"]["ft"]["voting"] = "2oo8"
    assert told_of_data(raw) == []
    raw["groups"]["ft"]["stated_beta"]["of"] = "pair"
    (line,) = told_of_data(raw)
    assert "groups.ft.voting" in line
    assert "2oo8 has no factor" in line


def test_an_observation_that_began_in_the_year_225_is_a_typing_error() -> None:
    plant = Plant.model_validate(_changed("groups", "ft", "observed_since", value="0225-03-04"))
    ((place, fault),) = entry_checks.faults(plant)
    assert place == ("groups", "ft", "observed_since")
    assert "from 1950 to 2100" in fault.allowed


ONLY_2: list[Change] = [
    lambda raw: raw["conventions"].update(mission_h=131400),
    lambda raw: raw["devices"]["PT"].update(error_factor=3),
    lambda raw: raw["groups"]["pt-301"].update(check_others=True),
    lambda raw: raw["groups"]["pt-301"].update(observed_since="2021-06-01"),
    lambda raw: raw["groups"]["pt-301"].update(conventions={"voting_factor": "none"}),
    lambda raw: raw["groups"]["con-210"]["stated_beta"].update(of="group"),
    lambda raw: raw["functions"]["SIF-301"].update(target_sil=2, target_rrf=None),
    lambda raw: raw["functions"]["SIF-301"].update(demand_zone="bpcs"),
    lambda raw: raw["conduits"]["C4"].update(one_way_to="bpcs"),
    lambda raw: raw["functions"]["SIF-301"]["groups"].append({"group": "con-210", "voting": "1oo2"}),
]


@pytest.mark.parametrize("change", ONLY_2)
def test_format_1_has_none_of_it(change: Change) -> None:
    raw = plain()
    change(raw)
    assert any("needs format 2" in line for line in told_of_data(raw)), told_of_data(raw)


@pytest.mark.parametrize(
    ("demand", "sil", "bound"), [("low", 1, 10.0), ("low", 4, 1e4), ("high", 1, 1e-5), ("high", 3, 1e-7)]
)
def test_a_target_sil_is_the_bound_of_its_band(demand: str, sil: int, bound: float) -> None:
    """IEC 61508-1:2010, Tables 2 and 3: SIL 2 is a PFDavg of 1e-3 to below 1e-2, a PFH of 1e-7 to below 1e-6. Confidence: memory."""
    function = Function.model_validate({"demand": demand, "target_sil": sil, "groups": ["g"]})
    assert function.target == pytest.approx(bound)


def test_a_zone_defeats_a_function_only_if_all_alternatives_lie_in_it() -> None:
    function = Plant.model_validate(plain_2()).functions["SIF-2"]
    assert function.defeated_by(["ft"]) == ()
    assert function.defeated_by(["ft", "pt"]) == ("ft", "pt")
    assert function.defeated_by(["ft", "esv"]) == ("esv",)


@pytest.mark.parametrize("of", ["plant", "group"])
def test_one_channel_in_test_is_allowed_on_the_timeline(of: str) -> None:
    raw = plain_2()
    raw["groups"]["esv"]["tests"][0]["bypass"] = "channel"
    chosen = raw if of == "plant" else raw["groups"]["esv"]
    chosen["conventions"] = chosen.get("conventions", {}) | {"redundancy_method": "timeline"}
    plant = plant_file.from_text("FILE", plant_file.to_text(Plant.model_validate(raw)))
    assert plant.groups["esv"].tested_by_channel
    raw["groups"]["esv"]["conventions"] = {"redundancy_method": "annex-b"}
    with pytest.raises(Refused) as refused:
        plant_file.from_text("FILE", plant_file.to_text(Plant.model_validate(raw)))
    (line,) = refused.value.lines()
    assert "groups.esv.tests.0.bypass" in line
    assert "annex-b has no form" in line


@pytest.mark.parametrize("place", [(), ("groups", "esv")])
def test_an_unknown_redundancy_method_is_refused_with_what_is_allowed(place: tuple[str, ...]) -> None:
    raw = plain_2()
    at = raw
    for step in place:
        at = at[step]
    at["conventions"] = at.get("conventions", {}) | {"redundancy_method": "markov"}
    (line,) = told_of_data(raw)
    assert ".".join((*place, "conventions", "redundancy_method")) in line
    assert "found 'markov'; allowed: in format 2 annex-b or timeline; in format 1 annex-b" in line


def test_a_stated_result_has_no_method() -> None:
    raw = plain_2()
    raw["groups"]["ls"]["conventions"] = {"redundancy_method": "timeline"}
    (line,) = told_of_data(raw)
    assert "groups.ls.conventions" in line
    assert "given beside stated_result" in line
