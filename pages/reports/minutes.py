"""Minutes of a session on paper and as a workbook; both have the same tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from checks.assessment.cautions import CAUTIONS
from checks.plantfile.fields import Value
from checks.plantfile.plant import Plant
from checks.questions.bank import Question
from checks.session_papers.minutes import HIDDEN, Minutes, Period
from checks.spreadsheets.written import Cell, WrittenSheet, written
from pages.presentation.direction import isolated
from pages.presentation.wording import ANSWERS, addressee, counted, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import DocumentInfo, Piece, build_pdf, heading, paragraph, title

WHO_DISSENTED = "Dissents name a role, not a person."


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its name, its relative width on paper, and its width in a workbook, in characters."""

    name: str
    on_paper: float
    in_workbook: int


@dataclass(frozen=True, slots=True)
class Listed:
    """A table of the minutes: its name, its columns and its rows; ``none`` says that there are no rows."""

    name: str
    none: str
    columns: tuple[Column, ...]
    rows: list[list[Cell]]

    def as_records(self) -> list[dict[str, str]]:
        """The rows by column name."""
        names = [column.name for column in self.columns]
        return [dict(zip(names, map(str, row), strict=True)) for row in self.rows]


@dataclass(frozen=True, slots=True)
class MinutesPaper:
    """The minutes of a plant, with the words of its questions, and the day of printing."""

    minutes: Minutes
    plant: Plant
    questions: dict[str, Question]
    day: date

    @property
    def about(self) -> str:
        """Plant, system and days in words."""
        key = self.minutes.system
        what = "the whole plant" if key is None else f"system {titled(key, self.plant.systems[key].name)}"
        return f"{isolated(self.plant.plant.name)}, {what}, {in_words(self.minutes.period)}"

    @property
    def remarks(self) -> list[str]:
        """What the minutes leave out."""
        hidden = self.minutes.hidden
        blind = f"{counted(hidden, 'answer')} of these days hidden by a blind round." if hidden else ""
        return [text for text in (blind, WHO_DISSENTED) if text]

    def tables(self) -> list[Listed]:
        """All tables, in the order of the minutes."""
        return [_present(self), _answers(self), _evidence(self), _dissents(self), _actions(self)]


def in_words(period: Period) -> str:
    """The days of a period."""
    if period.first == period.last:
        return period.first.isoformat()
    return f"{period.first} to {period.last}"


def as_pdf(paper: MinutesPaper) -> bytes:
    """The minutes as a PDF file."""
    about = DocumentInfo(
        title=f"Minutes: {paper.about}", date=paper.day, note=paper.plant.plant.note, caution=CAUTIONS[0]
    )
    parts = [part for listed in paper.tables() for part in _section(listed)]
    lead = f"{paper.about}. Printed {paper.day}."
    return build_pdf(about, title("Minutes of a session", lead), parts, paragraph(" ".join(paper.remarks)))


def _section(listed: Listed) -> Iterator[Piece]:
    yield from heading(listed.name)
    if not listed.rows:
        yield from paragraph(listed.none)
        return
    head = [column.name for column in listed.columns]
    rows = [[str(cell) for cell in row] for row in listed.rows]
    yield from page_layout.table(head, rows, widths=[column.on_paper for column in listed.columns])


def as_workbook(paper: MinutesPaper) -> bytes:
    """The minutes as an XLSX workbook: a sheet for each table, and one about them."""
    sheets = [
        WrittenSheet(listed.name, [(column.name, column.in_workbook) for column in listed.columns], listed.rows)
        for listed in paper.tables()
    ]
    note = paper.plant.plant.note
    lines = [f"Minutes: {paper.about}", *([note] if note else []), f"Written {paper.day}", *paper.remarks, *CAUTIONS]
    return written(sheets, lines)


def _present(paper: MinutesPaper) -> Listed:
    columns = (Column("Day", 1.0, 12), Column("System", 1.0, 10), Column("Name", 3.0, 40), Column("Role", 2.5, 30))
    rows: list[list[Cell]] = [[person.on, key, person.name, person.role] for key, person in paper.minutes.present]
    return Listed("Present", "No attendance is recorded for these days.", columns, rows)


def _answers(paper: MinutesPaper) -> Listed:
    columns = (
        Column("Time", 1.35, 17),
        Column("Question", 3.3, 60),
        Column("Answered for", 1.3, 20),
        Column("Before", 1.1, 18),
        Column("After", 1.2, 24),
        Column("By", 1.7, 26),
        Column("Evidence and note", 2.2, 50),
    )
    rows: list[tuple[datetime, list[Cell]]] = []
    for given in paper.minutes.answers:
        before, *after = given.values
        texts = "\n".join(filter(None, (given.evidence, f"Note: {given.note}" if given.note else "")))
        later = ", then ".join(map(_value, after)) or "unchanged"
        cells = _cells(paper, given.at, (given.question, given.of))
        rows.append((given.at, [*cells, _value(before), later, ", ".join(given.by), texts]))
    for kept in paper.minutes.confirmed:
        cells = _cells(paper, kept.at, (kept.question, kept.of))
        rows.append((kept.at, [*cells, "", "confirmed as it stands", kept.by or "somebody", ""]))
    rows.sort(key=lambda row: row[0])
    return Listed("Answers", "No answer was given on these days.", columns, [cells for _, cells in rows])


def _cells(paper: MinutesPaper, at: datetime, asked: tuple[str, str]) -> list[Cell]:
    """The first cells of an answer: time, question, addressee."""
    return [f"{at:%Y-%m-%d %H:%M}", _question(paper, asked[0]), addressee(asked[1], paper.plant)]


def _value(value: str) -> str:
    if value == HIDDEN:
        return "hidden by a blind round"
    return ANSWERS[_known(value)] if value else "none"


def _known(value: str) -> Value:
    return value  # type: ignore[return-value]  # the journal holds only these values


def _question(paper: MinutesPaper, key: str) -> str:
    """A question by id and words; by id where no bank in use has it any more."""
    return f"{key}: {paper.questions[key].text}" if key in paper.questions else key


def _evidence(paper: MinutesPaper) -> Listed:
    columns = (
        Column("Answer", 1.8, 30),
        Column("Evidence", 2.4, 40),
        Column("What it shows", 3.4, 60),
        Column("Strength", 1.1, 10),
        Column("Valid until", 1.2, 16),
        Column("By", 1.4, 26),
    )
    rows: list[list[Cell]] = [
        [
            f"{question} of {of}",
            " ".join(filter(None, (piece.kind, piece.identifier, piece.revision, piece.dated))),
            piece.shows,
            f"{piece.strength} of 5",
            piece.valid_until or piece.until_event,
            piece.by or "somebody",
        ]
        for (question, of), piece in paper.minutes.evidence
    ]
    return Listed("Evidence", "No evidence was recorded on these days.", columns, rows)


def _dissents(paper: MinutesPaper) -> Listed:
    columns = (
        Column("Answer", 1.8, 30),
        Column("Dissenting answer", 1.4, 20),
        Column("Role and reason", 3.2, 60),
        Column("What would settle it", 2.4, 50),
        Column("Outcome", 1.6, 30),
    )
    rows: list[list[Cell]] = [
        [
            f"{question} of {of}",
            _value(dissent.value),
            f"{isolated(dissent.role) or 'a member of the team'}: {dissent.reason}",
            dissent.settles,
            f"settled by {dissent.closed}" if dissent.closed else "open",
        ]
        for (question, of), dissent in paper.minutes.dissents
    ]
    return Listed("Dissents", "No dissent was recorded or settled on these days.", columns, rows)


def _actions(paper: MinutesPaper) -> Listed:
    columns = (
        Column("Id", 0.8, 8),
        Column("Step", 1.1, 16),
        Column("Action, and interim measure", 3.6, 60),
        Column("Answers", 2.0, 34),
        Column("Action owner", 1.6, 26),
        Column("Due", 1.2, 12),
    )
    rows: list[list[Cell]] = []
    for step in paper.minutes.actions:
        action = step.action
        what = f"{action.what}\nInterim: {action.interim}" if action.interim else action.what
        about = ", ".join(map(str, action.questions))
        rows.append([action.id, ", ".join(step.steps), what, about, action.owner, action.due.isoformat()])
    return Listed("Actions", "No action was raised or changed on these days.", columns, rows)
