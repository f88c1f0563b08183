"""Trend on paper: figures of every revision up to the reported one, and none of a later one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from checks.__main__ import main
from checks.assessment.assessment import Assessment
from checks.journal.hash_chain import Link
from checks.questions.bank import banks
from checks.record_files.record_file import Record
from checks.state.revision_status import REVIEWED, VOID
from checks.text.canonical import canonical
from checks.text.number_format import measure, percent
from tests.checks.given import valid_plant
from tests.pages.reports.read import annex, entries, report, squeezed, text
from tests.pages.reports.recorded import Keeping

SECTION, OF_GAPS = "Trend over the revisions", "Gap trend over the revisions"
DAYS = ("2025-03-04", "2025-06-12", "2025-09-20")


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Keeping:
    """A plant whose system S30 has three revisions: as imported, with better answers, and with new gaps in a zone."""
    plant = valid_plant()
    unreviewed = [answer for answer in plant.answers if answer.of != "zone:field"]
    keeping = Keeping(tmp_path_factory.mktemp("over"), plant.model_copy(update={"answers": unreviewed}))
    keeping.put_up("S30")
    keeping.later(100)
    for question in Assessment(valid_plant()).questioned("esv-301"):
        if banks().common_cause[question].asked_of == "group":
            keeping.answer(question, "group:esv-301", "met")
    keeping.put_up("S30")
    keeping.later(100)
    for question in ("Z01", "Z02", "F01"):
        keeping.answer(question, "zone:field", "not-met")
    keeping.put_up("S30")
    return keeping


@pytest.fixture(scope="module")
def records(kept: Keeping) -> list[Record]:
    """A record of each revision, exported after the last one."""
    return [kept.record("S30", number) for number in range(3)]


def section(document: PdfReader, name: str, after: str) -> str:
    """Text of a section without spaces, up to the next one."""
    return squeezed(text(document)).split(squeezed(name))[-1].split(squeezed(after))[0]


def sections(document: PdfReader) -> list[str]:
    return [name for depth, name in entries(document.outline) if depth == 0]


def head(what: str, many: int) -> str:
    return squeezed(f"{what} Figure" + "".join(f"Revision {at}, {DAYS[at]}" for at in range(many)))


@pytest.mark.parametrize("last", [1, 2])
def test_the_figures_are_the_stored_results_of_each_revision(records: list[Record], last: int) -> None:
    shown = section(report(records[last]), SECTION, "Inputs in full")
    results = [record.revision["results"] for record in records[: last + 1]]
    assert head("Function", last + 1) in shown
    for key, function in results[0]["functions"].items():
        for case, words in (("scored", ""), ("adjusted", " with cyber scenario")):
            figures = [measure("low", result["functions"][key]["pfd"][case]) for result in results]
            assert squeezed(f"{key} RRF{words} {''.join(figures)}") in shown
        assert squeezed(f"{key}, target {function['target']:g}") in shown
    assert len({result["functions"]["SIF-301"]["pfd"]["adjusted"] for result in results}) > 1
    for key, group in results[0]["groups"].items():
        for name, measured in (("beta", "beta"), ("beta_adjusted", "beta with cyber scenario")):
            figures = [percent(result["groups"][key][name]) for result in results]
            assert (squeezed(f"{key} {measured} {''.join(figures)}") in shown) == (group["beta"] is not None)


def test_numbers_of_gaps_are_in_the_annex_only(records: list[Record]) -> None:
    shown = section(annex(records[2]), OF_GAPS, "How to verify")
    zones = [record.revision["results"]["zones"] for record in records]
    assert head("Zone", 3) in shown
    for key in zones[0]:
        # The field zone is not reviewed before its first answer, so it has no gap list.
        figures = [str(len(zone[key]["gaps"])) if zone[key]["gaps"] else "not reviewed" for zone in zones]
        assert squeezed(f"{key} gaps {''.join(figures)}") in shown
    assert any(len({bool(zone[key]["gaps"]) for zone in zones}) > 1 for key in zones[0])
    assert "gaps" not in section(report(records[2]), SECTION, "Inputs in full")


def test_the_report_of_an_old_revision_does_not_change_with_later_ones(tmp_path: Path) -> None:
    again = Keeping(tmp_path, valid_plant())
    again.put_up("S30")
    again.later(100)
    again.answer("SEP1", "group:pt-301", "not-met")
    again.put_up("S30")
    before = section(report(again.record("S30", 1)), SECTION, "Inputs in full")
    again.later(100)
    again.answer("SEP4", "group:pt-301", "not-met")
    again.put_up("S30")
    later = section(report(again.record("S30", 1)), SECTION, "Inputs in full")
    # The head of each page has the standing of the day, and VOID lies across it.
    assert later.replace("VOID", "").replace(VOID, REVIEWED.replace(" ", "")) == before
    assert DAYS[2] not in before
    assert DAYS[2] in section(report(again.record("S30", 2)), SECTION, "Inputs in full")


def test_a_first_revision_has_no_such_section(records: list[Record]) -> None:
    assert SECTION not in sections(report(records[0]))
    assert OF_GAPS not in sections(annex(records[0]))
    assert SECTION in sections(report(records[1]))
    assert OF_GAPS in sections(annex(records[1]))


def test_sealed_revisions_are_left_out(records: list[Record]) -> None:
    def sealed(link: Link) -> Link:
        early = link.event is not None and link.event.kind == "revision" and link.event.content["number"] < 2
        return replace(link, event=None) if early else link

    without = replace(records[2], chain=[sealed(link) for link in records[2].chain])
    assert SECTION not in sections(report(without))
    assert OF_GAPS not in sections(annex(without))


def test_many_revisions_continue_in_further_tables(tmp_path: Path) -> None:
    many = Keeping(tmp_path, valid_plant())
    for at in range(12):
        many.answer("SEP1", "group:pt-301", "not-met" if at % 2 else "met")
        many.put_up("S30")
        many.later(30)
    shown = section(report(many.record("S30")), SECTION, "Inputs in full")
    assert shown.count("FunctionFigure") == shown.count("GroupFigure") == 3
    for at in range(12):
        assert shown.count(f"Revision{at},") == 2


def test_an_earlier_revision_with_another_edition_of_a_bank_says_so(
    records: list[Record],
) -> None:
    words = squeezed("An earlier revision used another edition of a question bank")
    assert words not in squeezed(text(report(records[2])))
    banks = records[2].revision["facts"]["banks"]
    other = {**banks, "cyber": {**banks["cyber"], "edition": "edition-2"}}
    (first, *_) = [event for event in records[2].events if event.kind == "revision"]
    body = {**first.content, "facts": {**first.content["facts"], "banks": other}}
    changed = replace(first, body=canonical(body).decode())
    chain = [replace(link, event=changed) if link.event == first else link for link in records[2].chain]
    assert words in squeezed(text(report(replace(records[2], chain=chain))))


def test_the_command_line_prints_the_trend_from_a_record_file(
    kept: Keeping, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = kept.file("S30")
    assert main(["report", str(path), "-o", str(tmp_path / "report.pdf")]) == 0
    assert main(["report", str(path), "--annex", "--reader", "SR-1", "-o", str(tmp_path / "annex.pdf")]) == 0
    assert capsys.readouterr().err == ""
    assert SECTION in sections(PdfReader(tmp_path / "report.pdf"))
    assert OF_GAPS in sections(PdfReader(tmp_path / "annex.pdf"))
