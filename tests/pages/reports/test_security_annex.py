"""The security annex: marked on every page, with the zones, levels and gaps of the record."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.questions.bank import banks
from checks.record_files.record_file import Record
from checks.text.number_format import percent
from demo import load
from pages.presentation.wording import ANSWERS
from scoring.exposure import SCENARIO
from tests.checks.given import valid_plant
from tests.pages.reports.read import annex, entries, squeezed, text
from tests.pages.reports.recorded import Keeping

READER = "SR-1, security reviewer"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Record:
    kept = Keeping(tmp_path_factory.mktemp("demo"), plant_file.read(load.PLANT))
    kept.accept("S30", "Z5", "D02", reason="the log is read by hand every week")
    kept.put_up("S30")
    return kept.record("S30")


@pytest.fixture(scope="module")
def shown(demo: Record) -> str:
    return squeezed(text(annex(demo, READER)))


def test_every_page_names_its_reader_the_day_and_the_marking(demo: Record) -> None:
    document = annex(demo, READER)
    assert len(document.pages) > 5
    for page in document.pages:
        page_text = page.extract_text()
        assert page_text.count(f"for: {READER}, 2025-09-22") == 2
        assert "Security annex: restricted" in page_text
        assert "invented data - not for use" in page_text


def test_every_zone_conduit_and_section_is_printed(demo: Record, shown: str) -> None:
    marks = [name for depth, name in entries(annex(demo, READER).outline) if depth == 0]
    for name in ("Zones and conduits", "Zone Z5 Safety system", "Zone Z6 Compressor package", "Cautions", "Sources"):
        assert squeezed(name) in [squeezed(mark) for mark in marks]
    for key, conduit in demo.revision["facts"]["plant"]["conduits"].items():
        assert squeezed(f"{key}{conduit['between'][0]} and {conduit['between'][1]}") in shown


def test_the_reach_from_the_rest_of_the_plant_is_printed_with_its_closings(shown: str) -> None:
    """By hand: S30 has Z5 and Z6. The rest of the plant joins Z5 by C4 and C8 (C5 is closed) and Z6 by C6.

    All three functions fall by ls-sis in Z5, which two conduits reach: no single closing saves one, C4 and C8 together keep
    Z5 out. From Z6 the rest of the plant is one conduit away.
    """
    first = "From the rest of the plant a compromise reaches 2 other zones and 3 of 3 functions; closing a single conduit saves none"
    assert squeezed(first) in shown
    assert squeezed("Z5 Safety system 2 C4, C8") in shown
    assert squeezed("Control layer that makes the demand") in shown
    assert squeezed("Functions that one zone defeats together") in shown
    assert squeezed("Functions that the zone of their demand defeats") in shown


def test_levels_are_those_of_the_record(demo: Record, shown: str) -> None:
    for zone in demo.revision["results"]["zones"].values():
        assert f"{zone['asked']}of100requirementswereasked,directlyorthroughatopic,{zone['not_asked']}werenot" in shown
        for fr, target in zone["sl_target"].items():
            level = zone["sl_indicated"][fr]
            assert any(f"{target}{level}{word}{zone['short'][fr]}" in shown for word in ("", "achieved")) or (
                f"{target}nothingasked" in shown
            ), fr


def test_every_gap_has_its_answer_action_and_reach(demo: Record, shown: str) -> None:
    for key, zone in demo.revision["results"]["zones"].items():
        assert zone["gaps"], key
        for gap in zone["gaps"]:
            question = banks().questions[gap["topic"] or gap["sr"][0]]
            weight = f"weight{gap['weight']}" if gap["topic"] else ""
            assert squeezed(question.id) + weight in shown
            assert squeezed(ANSWERS[gap["answer"]]) in shown
            assert squeezed(question.action) in shown
            assert squeezed(", ".join(gap["sr"])) in shown
        reach = zone["gaps"][0]["reach"]
        assert squeezed(f"Programmable groups of {len(reach)} function") in shown
        assert squeezed(", ".join(reach)) in shown


def test_an_accepted_gap_shows_person_reason_and_end_date(shown: str) -> None:
    assert squeezed("D02 O-1, 2025-03-04 2026-04-30 the log is read by hand every week") in shown


def test_exposures_are_those_of_the_record_and_marked_as_a_house_rule(demo: Record, shown: str) -> None:
    for key, group in demo.revision["results"]["groups"].items():
        zone = demo.revision["facts"]["plant"]["groups"][key]["zone"]
        row = (key, zone, percent(group["exposure"]), percent(group["beta"]), percent(group["beta_adjusted"]))
        assert squeezed("".join(row)) in shown
    assert squeezed(SCENARIO.split(";")[-1]) in shown


def test_an_unreviewed_zone_has_no_gap_list(tmp_path: Path) -> None:
    kept = Keeping(tmp_path, Plant.model_validate({**valid_plant().model_dump(), "answers": []}))
    kept.put_up("S30")
    annex_text = squeezed(text(annex(kept.record("S30"), READER)))
    assert annex_text.count("Notreviewed:notopicofthiszonehasbeenanswered") == 2
    assert "Question,andwhatclosesthegap" not in annex_text
    assert squeezed("No security question has been answered yet.") in annex_text


@pytest.mark.parametrize("make", [lambda: "x" * 3000, lambda: "<b>&</b> =1+1 ../../etc/hostname", lambda: "שלום 漢字"])
def test_a_reader_of_any_name_is_written_as_typed(demo: Record, make: Callable[[], str]) -> None:
    document = annex(demo, make())
    assert len(document.pages) > 5
    assert squeezed(make())[:4] in squeezed(text(document)) or "שלום" in make()
