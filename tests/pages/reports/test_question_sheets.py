"""Question sheets on paper: every question with boxes for its answers, and last time's answers only where they are wanted."""

from __future__ import annotations

import io
from pathlib import Path

from pypdf import PdfReader

from checks.assessment.cautions import CAUTIONS
from checks.plantfile import plant_file
from checks.questions.bank import MEASURE_ANSWERS
from checks.recording import group_method
from checks.session_papers.evidence_to_bring import evidence_to_bring
from checks.session_papers.question_sheets import Selection, sheets
from demo import load
from pages.presentation.wording import answer_label
from pages.reports import question_sheets
from pages.reports.question_sheets import Paper
from tests.checks.team import founded, three_systems
from tests.pages.reports.read import squeezed, text
from tests.pages.reports.recorded import DAY, Keeping


def test_every_question_stands_whole_on_one_page_with_its_boxes_and_the_cautions(tmp_path: Path) -> None:
    state = Keeping(tmp_path, plant_file.read(load.PLANT)).live.state()
    chosen = sheets(state, Selection("zone:Z5"))
    paper = Paper(state.plant, "zone:Z5", DAY)
    document = PdfReader(io.BytesIO(question_sheets.question_sheets(paper, chosen)))
    pages = [squeezed(page.extract_text()) for page in document.pages]
    for item in (item for sheet in chosen for item in sheet.questions):
        (page,) = [page for page in pages if squeezed(item.question.text) in page]
        assert squeezed(f"Why it matters: {item.question.why}") in page
        for what in item.question.evidence:
            assert squeezed(what) in page
    boxes = sum(len(item.asked) for sheet in chosen for item in sheet.questions)
    for label in map(answer_label, MEASURE_ANSWERS):
        assert sum(page.count(squeezed(label)) for page in pages) >= boxes
    for page in pages:
        assert squeezed("invented data - not for use") in page
        assert squeezed(CAUTIONS[0])[:40] in page
    assert "Lasttime" not in "".join(pages)
    again = Paper(state.plant, "zone:Z5", DAY, with_earlier=True)
    printed = squeezed(text(PdfReader(io.BytesIO(question_sheets.question_sheets(again, chosen)))))
    evidence = state.assessment.zone("Z5").answers["L12"].evidence
    assert squeezed(f"Evidence: {evidence}") in printed


def test_the_list_of_evidence_names_every_piece_and_whom_it_is_for(tmp_path: Path) -> None:
    state = Keeping(tmp_path, plant_file.read(load.PLANT)).live.state()
    wanted = evidence_to_bring(sheets(state, Selection("system:S20", requirements=False)))
    paper = Paper(state.plant, "system:S20", DAY)
    printed = squeezed(text(PdfReader(io.BytesIO(question_sheets.evidence_list(paper, wanted)))))
    for piece in wanted:
        assert squeezed(piece.what) in printed
    assert "Whobringsit" in printed


def test_the_sheet_of_a_group_with_its_own_method_asks_its_bank_with_levels_as_boxes(tmp_path: Path) -> None:
    """Eight factors, answered by levels: Humphreys 1987."""
    plant = three_systems().model_copy(update={"format": 2})
    plant = group_method.with_method(plant, "pt-301", "humphreys-1987", "a study of the site")
    state = founded(tmp_path / "answers.sqlite3", plant).now()
    found = sheets(state, Selection("group:pt-301"))
    assert [question.question.id for sheet in found for question in sheet.questions] == [f"HUM{n}" for n in range(1, 9)]
    paper = Paper(state.plant, "group:pt-301", state.day)
    printed = text(PdfReader(io.BytesIO(question_sheets.question_sheets(paper, found))))
    assert "questions of Partial sums, Humphreys 1987" in " ".join(printed.split())
    assert "Level E" in printed
    assert "Met by a compensating measure" not in printed
