"""People in their roles, a plant of three safety systems, and the steps that many tests repeat."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, OWNER, REVIEWER, VIEWER, Person
from checks.actions import recorded_actions
from checks.events.kinds import KINDS
from checks.events.plant import assessment_round
from checks.journal.event import Event
from checks.journal.event_body import EventBody, named
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Plant
from checks.reassessment import data_checks, rounds
from checks.reassessment.confirmations import confirm_answers, topics_waiting
from checks.record_files import exports
from checks.recording import recorder
from checks.recording.answering import record as save
from checks.revision import basis
from checks.signoff import revisions, sampling, sign_off, signatures, statement
from checks.signoff.keys import enrol, withdraw
from checks.signoff.signers import banks_of
from checks.signoff.terms import SHOWN, Condition, Terms, Verdict
from checks.state import plant_data_waiting
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from tests.checks.given import answer, every_topic, plain
from tests.checks.journal.stored import import_plant

LEADS = Person("FA-1", frozenset({FACILITATOR}))
ANSWERS = Person("TM-1", frozenset({MEMBER}))
OWNS = Person("OW-1", frozenset({OWNER}))
ASSESSES = Person("IA-1", frozenset({ASSESSOR}))
REVIEWS = Person("SR-1", frozenset({REVIEWER}))
LOOKS_ON = Person("VW-1", frozenset({VIEWER}))
SIGNERS = {"safety": ASSESSES, "security": REVIEWS}
ROLE_OF = {"safety": ASSESSOR, "security": REVIEWER}
TERMS = Terms(independence="I took no part in the answers.", competence="Twelve years in this work.")
PHRASE = "four words and a tag"
DAY = datetime.now(UTC).date()
OF_S50 = "drawing D-501, for the eyes of S50 alone"
EVIDENCE = {"kind": "document", "identifier": "H-301 rev 4", "shows": "separate taps", "strength": 3}
DISSENT = {
    "value": "not-met",
    "who": "TM-2",
    "role": "maintenance technician",
    "reason": "one tray",
    "settles": "a photo",
}


def midnight(day: date) -> datetime:
    """The begin of a day, UTC: what the program itself stores on that day is later."""
    return datetime.combine(day, time(), UTC)


def at(day: date) -> Callable[[], datetime]:
    """A clock that starts with a day and runs on."""
    begun = datetime.now(UTC)
    return lambda: midnight(day) + (datetime.now(UTC) - begun)


def ahead(days: int) -> str:
    """The date this many days from today, in ISO form."""
    return (DAY + timedelta(days=days)).isoformat()


def three_systems() -> Plant:
    """S30 and S40 share their logic solver; S50 is separate, in its own zone. There are no answers."""
    raw = plain()
    raw["answers"] = []
    raw["devices"]["LT"] = {"name": "Level transmitter", "lambda_du_fit": 1700.0}
    raw["devices"]["SPARE"] = {"name": "On the shelf", "lambda_du_fit": 500.0}
    raw["zones"]["package"] = {"name": "Compressor package", "sl_target": {"SI": 1}}
    raw["groups"]["lt-501"] = {**raw["groups"]["tt-401"], "zone": "package", "voting": "1oo2", "channels": [["LT"]] * 2}
    raw["systems"]["S50"] = {"name": "Drum level system", "functions": ["SIF-501"]}
    raw["functions"]["SIF-501"] = {"name": "Drum level", "demand": "low", "target_rrf": 10.0, "groups": ["lt-501"]}
    return Plant.model_validate(raw)


def three_systems_in_format_2() -> dict[str, Any]:
    """Plain data of the same plant in format 2, without answers."""
    raw = {**three_systems().model_dump(mode="json", exclude_defaults=True), "format": 2, "answers": []}
    for group in raw["groups"].values():
        group["proof_test"].setdefault("coverage", 1.0)
    return raw


def every_answer() -> list[Answer]:
    """Answers with which S30 can be signed: its zones without a gap, and common-cause answers with evidence."""
    fields = {"evidence": "walk-down 12", "by": ANSWERS.name}
    topics = [answer for zone in ("field", "sis") for answer in every_topic(f"zone:{zone}", "met")]
    causes = [answer("SEP1", "group:pt-301"), answer("ASM1", "system:S30"), answer("PRO1", "plant")]
    return [answer.model_copy(update=fields) for answer in (*topics, *causes)]


@dataclass(frozen=True)
class Team:
    """A plant in a database of its own, and the private keys of its two signers by half."""

    live: Live
    keys: dict[str, Ed25519PrivateKey]
    path: Path

    @property
    def store(self) -> Store:
        """The database."""
        return self.live.store

    def now(self) -> State:
        """The present state."""
        return self.live.state()

    def count(self) -> int:
        """Number of events in the journal."""
        return self.store.version(self.live.key).last

    def on(self, day: date) -> Team:
        """The same database on another day."""
        return Team(Live(self.store, self.live.key, clock=at(day)), self.keys, self.path)

    def copy(self, path: Path) -> Team:
        """A copy in another file, which a test may change."""
        with closing(sqlite3.connect(self.path)) as source, closing(sqlite3.connect(path)) as target:
            source.backup(target)
        return opened(path, dict(self.keys), self.live.key)

    def say(self, question: str, of: str, value: str = "met", **fields: str) -> None:
        """A team member answers, following the stored answer."""
        given = answer(question, of, value, **{"evidence": "drawing 4", **fields})
        stored = self.now().stored.get((question, of))
        person = replace(ANSWERS, name=fields.get("by", ANSWERS.name), writer="w")
        save(self.live, person, given.model_dump(), seen=stored.id if stored else 0)

    def put_up(self, system: str = "S30") -> Revision:
        """The facilitator submits a system for review."""
        revisions.submit(self.live, LEADS, system)
        return self.latest(system)

    def latest(self, system: str = "S30") -> Revision:
        """The latest revision of a system."""
        revision = self.now().records.latest(system)
        assert revision is not None
        return revision

    def state(self, system: str = "S30") -> tuple[str, str]:
        """State of a system, and the reason."""
        standing = revisions.system_standing(self.now(), system)
        return standing.state, standing.why

    def sign(self, half: str, revision: Revision | None = None, **terms: Any) -> Event:
        """The signer of this half signs the latest revision, or the given one."""
        signed = self.latest() if revision is None else revision
        stated = full_terms(self.live, signed, half, SIGNERS[half].name, **terms)
        return sign_off.sign(self.live, SIGNERS[half], signed, self.keys[half], half=half, terms=stated)

    def signed(self, system: str = "S30") -> Revision:
        """Submit a revision and sign both halves."""
        revision = self.put_up(system)
        for half in SIGNERS:
            self.sign(half, revision)
        return self.latest(system)

    def confirm_all(self, system: str = "S30") -> None:
        """Confirm every answer of a system that waits, one by one, and check its plant data."""
        for asked in sorted({asked for several in topics_waiting(self.now(), system).values() for asked in several}):
            confirm_answers(self.live, ANSWERS, [asked])
        if places := plant_data_waiting.of_system(self.now(), system):
            data_checks.confirm_data(self.live, ANSWERS, list(places), system=system, how="data sheet 12")

    def blind_round(self, system: str = "S30") -> Event:
        """Go through the assessments of a signed system until the third begins, which is the blind round."""
        while not rounds.start_of(self.now(), system).blank:
            rounds.begin_assessment(self.live, LEADS, system)
            self.confirm_all(system)
            self.signed(system)
        return rounds.begin_assessment(self.live, LEADS, system)

    def hide_all(self, system: str = "S30") -> Event:
        """Begin a blind round that hides all answers a system rests on, shared ones too: releases 1 to 4 did."""
        state = self.now()
        addressees = basis.scope(state.plant, state.assessment.links, system).addressees
        hidden = named(sorted(asked for asked in state.stored if asked[1] in addressees))
        body = assessment_round.Body(system=system, number=3, blank=True, answers=hidden)
        return recorder.record(self.live, LEADS, body, slot=f"round {system}")

    def key_of(self, half: str) -> str:
        """Id of the key of a half's signer."""
        return signatures.key_id(signatures.public_text(self.keys[half].public_key()))

    def enrol(self, half: str, *, name: str = "", roles: tuple[str, ...] = ()) -> Ed25519PrivateKey:
        """A new key for the signer of this half, or for another holder if named."""
        created = signatures.make(PHRASE)
        holder, acting = name or SIGNERS[half].name, roles or (ROLE_OF[half],)
        enrol(self.live, OWNS, public=created.public, name=holder, roles=acting)
        return signatures.unlock(created.file, PHRASE)

    def withdraw(self, half: str, days: int) -> None:
        """The asset owner withdraws the key of a half's signer, from this many days after today."""
        withdraw(self.live, OWNS, key=self.key_of(half), from_day=ahead(days), reason="the stick was lost")

    def change(self, plant: Plant) -> None:
        """New plant data."""
        import_plant(self.store, plant, by=LEADS.name, writer="w")

    def export(self, revision: Revision | None = None) -> str:
        """Text of the record file of the latest revision, or of the given one."""
        return exports.export(self.live, OWNS, self.latest() if revision is None else revision)


def full_terms(live: Live, revision: Revision, half: str, signer: str, **terms: Any) -> Terms:
    """Terms with which nothing is wrong, or with these differences; ``conditions`` as words each raise an action."""
    fixed = revisions.fixed_body(live, revision)
    drawn = sampling.sample(
        fixed, banks_of(half, fixed), revision=revision.hash, who=signer, turns=max(terms.get("turns", 1), 0)
    )
    usual = {
        "independence": TERMS.independence,
        "competence": TERMS.competence,
        "verdicts": tuple(Verdict(**answer, verdict=SHOWN, remark="read on site") for answer in drawn),
        "unanswered": len(statement.never_answered(fixed, half).missing),
    }
    if "conditions" in terms:
        words = [text for text in terms["conditions"] if isinstance(text, str)]
        terms["conditions"] = tuple(Condition(_action(live, revision.system, text), text) for text in words) or tuple(
            terms["conditions"]
        )
    return Terms(**{**usual, **terms})


def _action(live: Live, system: str, what: str) -> str:
    """The id of a new action of a system."""
    due = live.state().day + timedelta(days=90)
    fields = {"what": what, "owner": "technician", "due": due, "system": system}
    event = recorded_actions.raise_one(live, LEADS, fields)
    return str(event.content["id"])


def body_of(event_kind: str, /, **fields: Any) -> EventBody:
    """The body of an event of a kind, from plain data as the journal keeps it."""
    return KINDS[event_kind].model_validate(fields, strict=False)


def opened(path: Path, keys: dict[str, Ed25519PrivateKey], key: int = 1) -> Team:
    """A team with an existing database."""
    return Team(Live(Store(f"sqlite:///{path}"), key, clock=at(DAY)), keys, path)


def founded(path: Path, plant: Plant, *halves: str) -> Team:
    """A team with a new database of this plant, and the keys of these halves enrolled."""
    store = Store(f"sqlite:///{path}")
    begun = midnight(DAY).isoformat(timespec="milliseconds")
    key = import_plant(store, plant, by=LEADS.name, writer="w", at=begun)
    team = opened(path, {}, key)
    for half in halves:
        team.keys[half] = team.enrol(half)
    return team
