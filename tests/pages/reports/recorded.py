"""A plant in its own store with people, keys and a clock, to export records from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, Person
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Plant
from checks.record_files import exports, record_file
from checks.record_files.record_file import Record
from checks.recording import answer_records
from checks.signoff import accepted_gaps, keys, open_points, revisions, sign_off, signatures
from checks.state.live import Live
from checks.state.revision_status import Revision
from tests.checks.given import plain
from tests.checks.journal.stored import import_plant, save
from tests.checks.team import full_terms

DAY = date(2025, 9, 22)
PHRASE = "four words and a tag"
TEAM = Person("FA-1", frozenset((FACILITATOR, MEMBER)), writer="team")
OWNING = Person("O-1", frozenset((OWNER,)))
SIGNERS = {"safety": Person("IA-1", frozenset((ASSESSOR,))), "security": Person("SR-1", frozenset((REVIEWER,)))}
EVIDENCE: dict[str, Any] = {
    "kind": "test result", "identifier": "TR-9", "revision": "2", "dated": "2025-03-01",
    "shows": "trips within its time", "strength": 4, "valid_until": "2027-03-01",
}  # fmt: skip


class Keeping:
    """One plant in its own store, with methods for what people do to it. Its answers all have an author, so it can be signed."""

    def __init__(self, folder: Path, plant: Plant) -> None:
        self.folder, self.at = folder, datetime(2025, 3, 4, 9, tzinfo=UTC)
        self.store = Store(f"sqlite:///{folder / 'kept.sqlite3'}")
        named = [each if each.by else each.model_copy(update={"by": "TM-9"}) for each in plant.answers]
        plant = plant.model_copy(update={"answers": named})
        self.key = import_plant(self.store, plant, by="import", writer="import")
        self.live = Live(self.store, self.key, clock=lambda: self.at)
        self.keys = {half: signatures.unlock(signatures.make(PHRASE).file, PHRASE) for half in SIGNERS}
        for half, person in SIGNERS.items():
            public = signatures.public_text(self.keys[half].public_key())
            keys.enrol(self.live, OWNING, public=public, name=person.name, roles=sorted(person.roles))

    def later(self, days: int) -> None:
        """Advance the clock by days."""
        self.at += timedelta(days=days)

    def answer(
        self, question: str, of: str, value: str, *, evidence: str = "seen on site", note: str = "as it is"
    ) -> None:
        """Answer a question, again if it has an answer."""
        earlier = self.live.state().stored.get((question, of))
        fields = {"question": question, "of": of, "value": value, "evidence": evidence, "note": note, "by": "IT-3"}
        earlier_id = earlier.id if earlier else 0
        at = self.at.isoformat(timespec="milliseconds")
        save(self.store, self.key, Answer.model_validate(fields), seen=earlier_id, writer="team", at=at)

    def attend(self, system: str, *people: tuple[str, str]) -> None:
        """Record who was at a session."""
        answer_records.record_attendance(self.live, TEAM, system=system, on=self.at.date().isoformat(), people=people)

    def show(self, question: str, of: str, **fields: Any) -> None:
        """Record a piece of evidence."""
        answer_records.add_evidence(self.live, TEAM, (question, of), {**EVIDENCE, **fields})

    def dissent(self, question: str, of: str, **fields: str) -> None:
        """Record a dissent."""
        usual = {"value": "not-met", "who": "IT-3", "role": "instrument technician", "reason": "it freezes"}
        body = {**usual, "settles": "one winter of temperatures", **fields}
        answer_records.record_dissent(self.live, TEAM, (question, of), body)

    def put_up(self, system: str) -> Revision:
        """Fix the next revision."""
        revisions.submit(self.live, TEAM, system)
        revision = self.live.state().records.latest(system)
        assert revision is not None
        return revision

    def send_back(self, revision: Revision, *, half: str, comments: str) -> None:
        """Send a revision back."""
        revisions.send_back(self.live, SIGNERS[half], revision, half=half, comments=comments)

    def sign(
        self, revision: Revision, half: str, *, conditions: Sequence[str] = (), until: str = "", turns: int = 1
    ) -> None:
        """Sign one half; ``turns`` is the number of samples drawn before."""
        words = {"independence": "of another site", "competence": "assessor for twelve years", "until": until}
        terms = full_terms(
            self.live, revision, half, SIGNERS[half].name, conditions=tuple(conditions), turns=turns, **words
        )
        sign_off.sign(self.live, SIGNERS[half], revision, self.keys[half], half=half, terms=terms)

    def signed(self, system: str, *, turns: int = 1, **conditions: str) -> Revision:
        """Give evidence for every claim, fix a revision, accept its gaps and sign both halves.

        ``conditions`` names a half with a condition under which it is signed, until 2025-12-31.
        """
        for answer in list(self.live.state().assessment.answers):
            if answer.claimed and not answer.evidence:
                self.answer(answer.question, answer.of, answer.value, note=answer.note or "as it is")
        revision = self.put_up(system)
        for zone, name, _ in open_points.open_gaps(revisions.fixed_body(self.live, revision)):
            self.accept(system, zone, name)
        for half in SIGNERS:
            terms = [conditions[half]] if half in conditions else []
            self.sign(revision, half, conditions=terms, until="2025-12-31" if terms else "", turns=turns)
        return revision

    def accept(self, system: str, zone: str, question: str, *, reason: str = "closed at the turnaround") -> None:
        """Accept a residual gap."""
        accepted_gaps.accept_gaps(self.live, OWNING, [(system, zone, question)], reason=reason, until="2026-04-30")

    def file(self, system: str, number: int | None = None) -> Path:
        """Export a revision."""
        revision = exports.revision_of(self.live, system, number)
        path = self.folder / f"{system}-{revision.number}.json"
        path.write_text(exports.export(self.live, OWNING, revision), encoding="utf-8")
        return path

    def record(self, system: str, number: int | None = None) -> Record:
        """Export a revision and read it back."""
        return record_file.read(self.file(system, number))


ANSWERS_OF_A_GROUP = 20


def record_of_many_answers(folder: Path, answered: int) -> Record:
    """The record of one system with so many answers, twenty for each group, five groups a function; invented."""
    raw = plain()
    keys = [f"g-{at}" for at in range(answered // ANSWERS_OF_A_GROUP)]
    raw["groups"] = {key: {**raw["groups"]["pt-301"], "name": f"Group {at}"} for at, key in enumerate(keys)}
    raw["functions"] = {
        f"F-{at}": {"name": f"Function {at}", "demand": "low", "target_rrf": 100, "groups": keys[at : at + 5]}
        for at in range(0, len(keys), 5)
    }
    raw["systems"] = {"S30": {"functions": list(raw["functions"])}}
    raw["answers"] = []
    bare = Plant.model_validate(raw)
    names = list(Assessment(bare).questioned("g-0"))[:ANSWERS_OF_A_GROUP]
    answers = [
        Answer(
            question=name, of=f"group:{key}", value="met", evidence=f"Loop drawing LD-{at} rev 3; walkdown photo {at}"
        )
        for at, key in enumerate(keys)
        for name in names
    ]
    assert len(answers) == answered
    kept = Keeping(folder, bare.model_copy(update={"answers": answers}))
    kept.put_up("S30")
    return kept.record("S30")
