"""The safety report: figures as on the command line, all sections, and no detail of a gap."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from checks.__main__ import main
from checks.access.roles import MEMBER, Person
from checks.assessment.answers import SAME_QUESTION
from checks.assessment.assessment import Assessment
from checks.assessment.cautions import CAUTIONS
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.record_files.record_file import Record
from checks.recording import answer_records
from checks.text.number_format import NONE, measure, measure_name, percent, small, target
from demo import load
from tests.checks.given import FORMAT_2, VALID, valid_plant
from tests.pages.reports.read import annex, entries, objects, report, squeezed, text
from tests.pages.reports.recorded import EVIDENCE, Keeping

SECTIONS = [
    "Status",
    "Scope",
    "Participants",
    "Method and conventions",
    "Results",
    "Function by function",
    "Uncertainty of each function",
    "Beta of each group",
    "Second opinions",
    "Each group by hand",
    "Spurious trips",
    "Architecture",
    "Security summary",
    "Answers with evidence",
    "Dissents",
    "Open actions",
    "Changes and failures",
    "Compared with the last signed revision",
    "Inputs in full",
    "How to verify this record",
    "Cautions",
    "Sources",
]
OWN = "Own failures as evidence"
"""Printed after the changes and failures where a group is observed or failed: in the demo, but for S20."""
PLANTS = {"small": VALID, "demo": load.PLANT, "format 2": FORMAT_2}
SYSTEMS = [("small", "S30"), ("small", "S40"), *(("demo", key) for key in plant_file.read(load.PLANT).systems)]
DISSENT = {"value": "not-met", "who": "TM-8", "role": "operations", "reason": "one tray", "settles": "a photo"}
Keep = Callable[[Plant], Keeping]
Fresh = Callable[[str, str], Record]
Printed = Callable[[Record], tuple[PdfReader, str]]


@pytest.fixture
def keep(tmp_path: Path) -> Keep:
    return lambda plant: Keeping(tmp_path, plant)


@pytest.fixture(scope="module")
def printed() -> Printed:
    """The safety report of a record with its text, cached."""
    reports: dict[str, tuple[PdfReader, str]] = {}

    def report_of(record: Record) -> tuple[PdfReader, str]:
        if record.head not in reports:
            document = report(record)
            reports[record.head] = (document, text(document))
        return reports[record.head]

    return report_of


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Fresh:
    """A record of a system of a plant file, its first revision just fixed."""
    kept: dict[str, Keeping] = {}
    records: dict[tuple[str, str], Record] = {}

    def record_of(plant: str, system: str) -> Record:
        if plant not in kept:
            kept[plant] = Keeping(tmp_path_factory.mktemp(plant), plant_file.read(PLANTS[plant]))
        if (plant, system) not in records:
            kept[plant].put_up(system)
            records[plant, system] = kept[plant].record(system)
        return records[plant, system]

    return record_of


def scores_of(plant: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """JSON output of the command line for a plant file."""
    assert main(["score", str(PLANTS[plant]), "--json"]) == 0
    scored: dict[str, Any] = json.loads(capsys.readouterr().out)
    return scored


@pytest.mark.parametrize(("plant", "system"), SYSTEMS)
def test_every_figure_is_that_of_the_command_line(
    fresh: Fresh, printed: Printed, capsys: pytest.CaptureFixture[str], plant: str, system: str
) -> None:
    scores, shown = scores_of(plant, capsys), squeezed(printed(fresh(plant, system))[1])
    source = plant_file.read(PLANTS[plant])
    for key in source.systems[system].functions:
        function = scores["functions"][key]
        demand = function["demand"]
        cases = function["pfd" if demand == "low" else "pfh"]
        figures = [measure(demand, cases[case]) for case in ("single", "ideal", "scored", "adjusted")]
        verdict = "".join(
            "meets the target" if function["meets_target"][case] else "falls short" for case in ("scored", "adjusted")
        )
        kept = percent(function["share_kept"] if function["benefit_ideal"] >= 1.5 else None)
        goal = f"{measure_name(demand)} {target(demand, function['target'])}"
        assert squeezed("".join((key, goal, *figures, kept, verdict))) in shown
        for name in function["share"]:
            group = scores["groups"][name]
            scored = group["pfd" if demand == "low" else "pfh"]["scored"]
            share = percent(scored / cases["scored"])
            assert squeezed(f"{name}{group['voting']}{share}{small(scored)}") in shown
            betas = [percent(group[beta]) for beta in ("beta", "beta_adjusted")]
            factor = NONE if group["voting_factor"] is None else f"{group['voting_factor']:g}"
            exposure = "not reviewed" if group["exposure"] is None else percent(group["exposure"])
            row = (name, group["voting"], percent(group["beta_int"]), *(betas if factor == NONE else [factor, *betas]))
            row = row if factor != NONE else (name, group["voting"], NONE, NONE, NONE, NONE)
            assert squeezed("".join((*row, exposure))) in shown
            if group["score"]:
                points = "".join(f"{group['score'][point]:g}" for point in ("x", "y", "z", "s", "s_d"))
                assert f"{name}{points}" in shown


@pytest.mark.parametrize(("plant", "system"), SYSTEMS)
def test_every_section_is_printed_and_bookmarked(fresh: Fresh, printed: Printed, plant: str, system: str) -> None:
    document, shown = printed(fresh(plant, system))
    marks = list(entries(document.outline))
    chapters = [name for depth, name in marks if depth == 0]
    assert [name for name in chapters if name != OWN] == ["Redundancy left after common cause", *SECTIONS]
    assert (OWN in chapters) == (plant == "demo" and system != "S20")
    functions = plant_file.read(PLANTS[plant]).systems[system].functions
    for key in functions:
        assert any(depth == 1 and name.startswith(key) for depth, name in marks)
    last = len(document.pages)
    for number, page in enumerate(document.pages, start=1):
        assert f"page {number}" in page.extract_text()
    assert f"of {last}" in shown


@pytest.mark.parametrize(("plant", "system"), SYSTEMS)
def test_gaps_appear_only_as_a_count(fresh: Fresh, printed: Printed, plant: str, system: str) -> None:
    record = fresh(plant, system)
    shown, beside = printed(record)[1], text(annex(record))
    gaps = [gap for zone in record.revision["results"]["zones"].values() for gap in zone["gaps"]]
    closed = squeezed(shown)
    without_dashes = closed.replace("-", "")
    for name, question in banks().questions.items():
        if question.bank != "common_cause":
            if name not in SAME_QUESTION.values():  # a common-cause answer taken from it names it
                assert not re.search(rf"\b{re.escape(name)}\b", shown), name
            assert squeezed(question.action or "-") not in without_dashes
            assert squeezed(question.text)[:60] not in closed
    for gap in gaps:
        assert (gap["topic"] or gap["sr"][0]) in beside
    for key, zone in record.revision["results"]["zones"].items():
        if zone["gaps"]:
            assert re.search(rf"{key} .*of 100\s*{len(zone['gaps'])}\b", shown, re.DOTALL)


def test_missing_signatures_are_stated(fresh: Fresh, printed: Printed) -> None:
    shown = " ".join(printed(fresh("small", "S30"))[1].split())
    assert shown.count("not signed") == 2
    assert "under review: signed so far: neither half" in shown


def test_participants_are_listed_by_role_with_the_source_of_their_names(keep: Keep) -> None:
    kept = keep(valid_plant())
    kept.attend("S30", ("A. Adams", "operations, shift"), ("B. Brown", "instrument technician"))
    kept.later(1)
    kept.attend("S30", ("A. Adams", "operations, shift"))
    kept.put_up("S30")
    shown = squeezed(text(report(kept.record("S30"))))
    assert squeezed("operations, shift A. Adams 2025-03-04, 2025-03-05") in shown
    assert squeezed("instrument technician B. Brown 2025-03-04") in shown
    assert squeezed("A self-declared name is shown as typed and was not checked") in shown


def test_actions_at_the_screen_are_listed_with_the_role_they_need(keep: Keep) -> None:
    """Roles as in the README: members answer, the facilitator leads, the owner accepts, others may record evidence."""
    kept = keep(valid_plant())
    kept.answer("SEP1", "group:pt-301", "met")
    kept.attend("S30", ("IT-3", "instrument technician"), ("TM-7", "operations, shift"))
    answer_records.add_evidence(kept.live, Person("TM-7", frozenset({MEMBER})), ("SEP1", "group:pt-301"), EVIDENCE)
    answer_records.record_dissent(kept.live, Person("TM-8", frozenset({MEMBER})), ("SEP1", "group:pt-301"), DISSENT)
    kept.accept("S30", "sis", "Z01")
    kept.put_up("S30")
    shown = squeezed(text(report(kept.record("S30"))))
    table = shown.split(squeezed("Name Role Actions How the name is known"))[1].split(squeezed("Roles at the screen"))[
        0
    ]
    for row in (
        "FA-1 facilitator recorded attendance (1); submitted a revision for review (1) self-declared",
        "IT-3 team member at the sessions: instrument technician answered (1) self-declared",
        "O-1 owner accepted residual risks (1) self-declared",
        "TM-7 facilitator or team member at the sessions: operations, shift recorded evidence (1) self-declared",
        "import facilitator or team member or owner imported answers (10) self-declared",
    ):
        assert squeezed(row) in table
    assert "TM-8" not in shown, "a dissent is told by role"


def test_answers_have_evidence_strength_and_validity_and_dissents_a_role(keep: Keep) -> None:
    kept = keep(valid_plant())
    kept.show("SEP1", "group:pt-301")
    kept.dissent("SEP1", "group:pt-301")
    kept.put_up("S30")
    shown = " ".join(text(report(kept.record("S30"))).split())
    assert banks().common_cause["SEP1"].text[:50] in shown
    assert "test result TR-9 2 2025-03-01: trips within its time" in shown
    assert "(strength 4 of 5, records over the whole interval; valid until 2027-03-01)" in shown
    assert "Hook-up H-301 rev 4" in shown
    assert "instrument technician: it freezes" in shown
    assert "one winter of temperatures" in shown
    assert "IT-3" not in shown
    assert "Not met; in effect: Not met" in shown


def test_an_answer_taken_from_the_security_half_is_listed_once_with_its_evidence(
    keep: Keep, fresh: Fresh, printed: Printed
) -> None:
    """In the small plant ENV1 is not answered; A05 of the zone, the same question, is met after walk-down 12."""
    shown = squeezed(printed(fresh("small", "S30"))[1])
    taken = squeezed("Met Taken from the answer to A05, which asks the same in the security half. walk-down 12")
    question = squeezed(banks().common_cause["ENV1"].text)
    assert shown.count(squeezed("Zone sis Safety controllers Id Question")) == 1
    assert shown.count(f"ENV1{question}{taken}") == 1
    assert squeezed("Zone sis Safety controllers ENV1 met (taken from the answer to A05)") in shown
    own = keep(valid_plant())
    own.answer("ENV1", "plant", "met", evidence="cabinets locked")
    own.put_up("S30")
    shown = text(report(own.record("S30")))
    assert "cabinets locked" in shown
    assert "A05" not in shown


def test_the_comparison_lists_the_changes_behind_each_figure_and_counts_security_changes(keep: Keep) -> None:
    kept = keep(valid_plant())
    kept.answer("Z01", "zone:field", "met")
    before = kept.signed("S30")
    kept.later(200)
    for name in Assessment(valid_plant()).questioned("esv-301"):
        if banks().common_cause[name].asked_of == "group":
            kept.answer(name, "group:esv-301", "met")
    kept.answer("F01", "zone:sis", "met")
    kept.put_up("S30")
    record = kept.record("S30")
    first, last = (kept.record("S30", number).revision["results"]["functions"]["SIF-301"] for number in (0, 1))
    shown = squeezed(text(report(record)))
    for function in (first, last):
        scored, adjusted = (measure("low", function["pfd"][case]) for case in ("scored", "adjusted"))
        words = f"RRF {scored}: meets the target; cyber scenario {adjusted}: meets the target"
        assert squeezed(words) in shown
    assert first["pfd"] != last["pfd"]
    assert squeezed("DIV3 of group:esv-301: does not apply → met") in shown
    assert squeezed(f"Compared with revision {before.number}, fixed 2025-03-04 and signed 2025-03-04") in shown
    assert squeezed("of group:esv-301: not answered → met") in shown
    assert squeezed("1 security change, listed in the security annex") in shown
    assert squeezed("range with common cause while questions are open before") in shown
    assert "F01" not in shown
    assert squeezed("Closed F01") in squeezed(text(annex(record)))


def test_a_record_without_an_earlier_signed_revision_says_so(fresh: Fresh, printed: Printed) -> None:
    assert squeezed("no earlier revision with both signatures") in squeezed(printed(fresh("demo", "S40"))[1])


@pytest.mark.parametrize(("plant", "system"), SYSTEMS)
def test_inputs_conventions_hashes_and_cautions_are_complete(
    fresh: Fresh, printed: Printed, plant: str, system: str
) -> None:
    record = fresh(plant, system)
    shown, cut = squeezed(printed(record)[1]), record.revision["facts"]["plant"]
    for key, device in cut["devices"].items():
        rates = [f"{rate:g}" for rate in (device["lambda_du_fit"], device.get("lambda_dd_fit", 0.0))]
        safe = f"{device['lambda_s_fit']:g}" if "lambda_s_fit" in device else NONE
        assert squeezed(f"{key}{device.get('name', '')}{''.join(rates)}{safe}") in shown
    for key, group in cut["groups"].items():
        assert f"{key}{group['proof_test']['interval_h']:.0f}" in shown
    for bank in record.revision["facts"]["banks"].values():
        assert squeezed(f"{bank['edition']} scoring content: {bank['scores']} texts: {bank['words']}") in shown
    for identifier in (record.made_from.hash, record.journal, record.of(0).hash if record.of(0) else ""):
        assert identifier
        assert identifier in shown
    for caution in CAUTIONS:
        assert squeezed(caution) in shown


def test_what_format_2_adds_stands_in_the_inputs_and_results(
    fresh: Fresh, printed: Printed, capsys: pytest.CaptureFixture[str]
) -> None:
    shown, scores = squeezed(printed(fresh("format 2", "S1"))[1]), scores_of("format 2", capsys)
    for words in (
        "stated_result pfd 0.00012, pfh 1.4e-08; certificate 7 edition 2; covers proof test every 10 years",
        "diagnostic_switch 0.98",
        "PT B 0.9 site records 2014 to 2024 2 certificate 3 edition 1",
        "systematic_capability 3; certificate 7 edition 2",
        "voting_factor none",
        "full stroke 8760 0.95 all 0, 4380 2, group 0.001",
        "partial stroke 720 0.6 ESV",
        "mission_h 131400",
        "target_sil 2 (target_rrf 100)",
        "pt as 1oo3, ls, esv",
        "any of ft, pt (beta 0.02; site study)",
        "beta 5 %, of detected failures 2.5 %, of the group, without MooN factor; site study",
        "RRF 100 (SIL 2)",
        "No common-cause question is asked of ls: its result is stated.",
    ):
        assert squeezed(words) in shown
    for key in ("SIF-1", "SIF-2", "SIF-3"):
        function = scores["functions"][key]
        total = function["pfd" if function["demand"] == "low" else "pfh"]["scored"]
        for entry in function["entries"]:
            scored = entry["cases"]["scored"]
            assert squeezed(f"{percent(scored / total)}{small(scored)}") in shown


def test_title_and_language_are_stated_and_every_font_is_embedded(fresh: Fresh, printed: Printed) -> None:
    document, _ = printed(fresh("demo", "S30"))
    assert document.metadata is not None
    assert document.metadata.title == "Safety report: S30, revision 0, Quillmarch Works"
    assert document.root_object["/Lang"] == "en-GB"
    fonts = [
        pdf_object
        for pdf_object in objects(document)
        if isinstance(pdf_object, dict) and pdf_object.get("/Type") == "/Font"
    ]
    assert fonts
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts)
