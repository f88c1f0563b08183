"""Question sheets on paper: each question with room for its answer, evidence and names; and the evidence to bring."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from checks.assessment.cautions import CAUTIONS
from checks.plantfile.equipment import Group
from checks.plantfile.plant import Answer, Plant, System, Zone
from checks.session_papers.evidence_to_bring import Wanted
from checks.session_papers.question_sheets import AskedOf, Sheet, SheetQuestion
from pages.presentation.direction import isolated
from pages.presentation.wording import ANSWERS, addressee, answer_label, counted, titled
from pages.reports.layout import page_layout
from pages.reports.layout.blocks import Block, Text
from pages.reports.layout.page_layout import (
    BODY,
    CELL,
    MARK,
    SMALL,
    DocumentInfo,
    Piece,
    build_pdf,
    heading,
    paragraph,
    title,
)
from pages.reports.layout.writing_room import KeptTogether, TickBoxes, WritingLines
from scoring.methods import registry

BANKS = {
    "common_cause": "common-cause questions",
    "cyber": "exposure topics",
    "requirements": "requirements of IEC 62443-3-3",
    **{method.bank: f"questions of {method.about.label}" for method in registry.ASKED_BETA.editions().values()},
}
HIDDEN = "Blind round: the earlier answer stays hidden until this question is answered again."


@dataclass(frozen=True, slots=True)
class Paper:
    """What is printed for ``subject`` of a plant on a day; ``with_earlier`` prints the answers in effect."""

    plant: Plant
    subject: str
    day: date
    with_earlier: bool = False

    @property
    def name(self) -> str:
        """The subject in words."""
        return named(self.subject, self.plant)


def named(of: str, plant: Plant) -> str:
    """An addressee with the name of what it stands for."""
    kind, _, key = of.partition(":")
    blocks: dict[str, Mapping[str, System | Group | Zone]] = {
        "system": plant.systems,
        "group": plant.groups,
        "zone": plant.zones,
    }
    block = blocks.get(kind, {})
    return f"{kind} {titled(key, block[key].name)}" if key in block else addressee(of, plant)


def question_sheets(paper: Paper, sheets: Sequence[Sheet]) -> bytes:
    """The question sheets as a PDF file; questions asked of several addressees have boxes for each."""
    count = sum(len(sheet.questions) for sheet in sheets)
    words = (
        f"{counted(count, 'question')}. Tick one box, write down the evidence that you saw, and who answered. "
        "An answer that scores needs evidence before the system can be signed. "
        "A compensating measure, and a question that does not apply, need their reason."
    )
    present = KeptTogether(
        [
            WritingLines(("Session on", "Facilitator"), BODY, widths=(1.0, 2.0)),
            WritingLines(("Present",), BODY, lines=3),
        ]
    )
    parts = [part for sheet in sheets for part in _sheet(paper, sheet)]
    lead = f"{isolated(paper.plant.plant.name)}, {paper.name}. Printed {paper.day}."
    return build_pdf(
        _document("Question sheets", paper), title("Question sheets", lead), paragraph(words), [present], parts
    )


def _document(name: str, paper: Paper) -> DocumentInfo:
    return DocumentInfo(
        title=f"{name}: {paper.name}, {paper.plant.plant.name}",
        date=paper.day,
        note=paper.plant.plant.note,
        caution=CAUTIONS[0],
    )


def _sheet(paper: Paper, sheet: Sheet) -> Iterator[Piece]:
    of = named(sheet.of, paper.plant)
    yield from heading(f"{of[0].upper()}{of[1:]}: {BANKS[sheet.bank]}")
    section = ""
    for item in sheet.questions:
        begins = item.question.section_title != section
        section = item.question.section_title
        yield KeptTogether([*(heading(section, 2) if begins else []), *_question(paper, sheet, item)])


def _question(paper: Paper, sheet: Sheet, item: SheetQuestion) -> Iterator[Block]:
    question = item.question
    asked_of = item.asked[0].of
    own = len(item.asked) == 1 and asked_of == sheet.of
    wide = f"   asked of {named(asked_of, paper.plant)}" if len(item.asked) == 1 and not own else ""
    yield Text(f"{question.id}{wide}", MARK, above=10.0, below=1.0)
    yield Text(question.text, BODY, below=3.0)
    yield Text(f"Why it matters: {question.why}", SMALL, below=2.0)
    yield Text("Look for: " + "; ".join(question.evidence) + ".", SMALL, below=4.0)
    for level, meaning in question.choices:
        yield Text(f"{answer_label(level)}: {meaning}", SMALL, below=1.0)
    for asked in item.asked:
        answers = list(map(answer_label, question.answers))
        yield TickBoxes("" if len(item.asked) == 1 else asked.of.partition(":")[2], answers, CELL)
    if paper.with_earlier:
        for text, keys in _earlier_answers(item, paper.plant).items():
            which = "" if len(keys) == len(item.asked) else f"{', '.join(keys)}: "
            yield Text(f"{which}{text}", SMALL, below=3.0)
    yield WritingLines(("Evidence seen, or reason",), SMALL, lines=2)
    yield WritingLines(("Answered by", "On"), SMALL, widths=(3.0, 1.0))


def _earlier_answers(item: SheetQuestion, plant: Plant) -> dict[str, list[str]]:
    """Each of last time's answers in words, with the ids of the addressees to which it applies."""
    texts: dict[str, list[str]] = {}
    for asked in item.asked:
        texts.setdefault(_earlier(asked, plant), []).append(asked.of.partition(":")[2])
    return texts


def _earlier(asked: AskedOf, plant: Plant) -> str:
    """Last time's answer in words."""
    answer = asked.earlier
    if asked.hidden:
        return HIDDEN
    if answer is None:
        return "Last time: no answer."
    return f"Last time: {_answer_in_words(answer, asked, plant)}"


def _answer_in_words(answer: Answer, asked: AskedOf, plant: Plant) -> str:
    words = ANSWERS[answer.value]
    if answer.of != asked.of:
        words += f", taken from {addressee(answer.of, plant)}"
    who = ", ".join(filter(None, (answer.by, answer.on)))
    texts = [f"{isolated(words)} ({who})" if who else words]
    texts += [f"Evidence: {answer.evidence}"] if answer.evidence.strip() else []
    texts += [f"Note: {answer.note}"] if answer.note.strip() else []
    return ". ".join(text.rstrip(".") for text in texts) + "."


def evidence_list(paper: Paper, wanted: Sequence[Wanted]) -> bytes:
    """The list of the evidence to bring as a PDF file, by topic, with room for who brings it."""
    words = (
        f"{counted(len(wanted), 'piece')} of evidence that the questions look for. One piece can serve several questions. "
        "Bring what exists; write down what does not, and who could make it."
    )
    topics = Counter(piece.topic for piece in wanted)
    parts = [part for topic in topics for part in _topic(topic, [piece for piece in wanted if piece.topic == topic])]
    lead = f"{isolated(paper.plant.plant.name)}, {paper.name}. Printed {paper.day}."
    return build_pdf(_document("Evidence to bring", paper), title("Evidence to bring", lead), paragraph(words), parts)


def _topic(topic: str, pieces: Sequence[Wanted]) -> Iterator[Piece]:
    yield from heading(topic)
    head = ("Evidence", "Questions", "For", "Who brings it")
    rows = [[piece.what, ", ".join(piece.questions), addressees(piece.of), ""] for piece in pieces]
    yield from page_layout.table(head, rows, widths=(4.2, 1.6, 2.2, 1.7))


def addressees(of: Iterable[str]) -> str:
    """Addressees by id, the whole plant first."""
    return ", ".join(key or "the whole plant" for _, _, key in (each.partition(":") for each in of))
