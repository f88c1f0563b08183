"""People in their roles, a plant of three safety systems, and what they do with it again and again."""

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
from checks.events.kinds import KINDS
from checks.journal.event import Event
from checks.journal.event_body import EventBody
from checks.journal.store import Store
from checks.plantfile.plant import Answer, Plant
from checks.record_files import exports
from checks.recording.answering import record as save
from checks.signoff import revisions, sign_off, signatures
from checks.signoff.keys import enrol, withdraw
from checks.signoff.sign_off import Terms
from checks.state.entries import Revision
from checks.state.live import Live, State
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


def noon(day: date) -> datetime:
    """Noon of a day, UTC."""
    return datetime.combine(day, time(12), UTC)


def at(day: date) -> Callable[[], datetime]:
    """A clock that shows noon of a day, and goes on from there."""
    begun = datetime.now(UTC)
    return lambda: noon(day) + (datetime.now(UTC) - begun)


def ahead(days: int) -> str:
    """A day so many days from today, as people write it."""
    return (DAY + timedelta(days=days)).isoformat()


def three_systems() -> Plant:
    """S30 and S40 share their logic solver; S50 stands apart in a zone of its own. Nobody has answered anything."""
    raw = plain()
    raw["answers"] = []
    raw["devices"]["LT"] = {"name": "Level transmitter", "lambda_du_fit": 1700.0}
    raw["devices"]["SPARE"] = {"name": "On the shelf", "lambda_du_fit": 500.0}
    raw["zones"]["package"] = {"name": "Compressor package", "sl_target": {"SI": 1}}
    raw["groups"]["lt-501"] = {**raw["groups"]["tt-401"], "zone": "package", "voting": "1oo2", "channels": [["LT"]] * 2}
    raw["systems"]["S50"] = {"name": "Drum level system", "functions": ["SIF-501"]}
    raw["functions"]["SIF-501"] = {"name": "Drum level", "demand": "low", "target_rrf": 10.0, "groups": ["lt-501"]}
    return Plant.model_validate(raw)


def every_answer() -> list[Answer]:
    """Answers with which S30 can be signed: its zones without a gap, and common-cause answers with evidence."""
    shown = {"evidence": "walk-down 12", "by": ANSWERS.name}
    topics = [one for zone in ("field", "sis") for one in every_topic(f"zone:{zone}", "met")]
    causes = [answer("SEP1", "group:pt-301"), answer("ASM1", "system:S30"), answer("PRO1", "plant")]
    return [one.model_copy(update=shown) for one in (*topics, *causes)]


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
        """What holds at this moment."""
        return self.live.state()

    def count(self) -> int:
        """How many events the journal has."""
        return self.store.version(self.live.key).last

    def on(self, day: date) -> Team:
        """The same database on another day."""
        return Team(Live(self.store, self.live.key, clock=at(day)), self.keys, self.path)

    def copy(self, path: Path) -> Team:
        """The same in a file of its own, to be changed at will."""
        with closing(sqlite3.connect(self.path)) as held, closing(sqlite3.connect(path)) as fresh:
            held.backup(fresh)
        return opened(path, dict(self.keys), self.live.key)

    def say(self, question: str, of: str, value: str = "met", **more: str) -> None:
        """A team member answers on top of what holds."""
        told = answer(question, of, value, **{"evidence": "drawing 4", **more})
        held = self.now().stored.get((question, of))
        who = replace(ANSWERS, name=more.get("by", ANSWERS.name), writer="w")
        save(self.live, who, told.model_dump(), seen=held.id if held else 0)

    def put_up(self, system: str = "S30") -> Revision:
        """The facilitator puts a system before its reviewers."""
        revisions.put_up(self.live, LEADS, system)
        return self.latest(system)

    def latest(self, system: str = "S30") -> Revision:
        """The latest revision of a system."""
        held = self.now().records.latest(system)
        assert held is not None
        return held

    def state(self, system: str = "S30") -> tuple[str, str]:
        """State of a system, and why."""
        return revisions.state_of(self.now(), system)

    def sign(self, half: str, revision: Revision | None = None, **terms: Any) -> Event:
        """The signer of this half signs, the latest revision unless another is named."""
        one = self.latest() if revision is None else revision
        stated = Terms(**{"independence": TERMS.independence, "competence": TERMS.competence, **terms})
        return sign_off.sign(self.live, SIGNERS[half], one, self.keys[half], half=half, terms=stated)

    def signed(self, system: str = "S30") -> Revision:
        """Put up and signed by both."""
        revision = self.put_up(system)
        for half in SIGNERS:
            self.sign(half, revision)
        return self.latest(system)

    def key_of(self, half: str) -> str:
        """Name of the key of a half's signer."""
        return signatures.key_id(signatures.public_text(self.keys[half].public_key()))

    def enrol(self, half: str, *, name: str = "", roles: tuple[str, ...] = ()) -> Ed25519PrivateKey:
        """A new key for the signer of this half, or for somebody else where named."""
        made = signatures.make(PHRASE)
        named, acts = name or SIGNERS[half].name, roles or (ROLE_OF[half],)
        enrol(self.live, OWNS, public=made.public, name=named, roles=acts)
        return signatures.unlock(made.file, PHRASE)

    def withdraw(self, half: str, days: int) -> None:
        """The owner withdraws the key of a half's signer, so many days from today on."""
        withdraw(self.live, OWNS, key=self.key_of(half), from_day=ahead(days), reason="the stick was lost")

    def change(self, plant: Plant) -> None:
        """New plant data."""
        import_plant(self.store, plant, by=LEADS.name, writer="w")

    def export(self, revision: Revision | None = None) -> str:
        """Text of the record file of a revision, the latest unless another is named."""
        return exports.export(self.live, OWNS, self.latest() if revision is None else revision)


def body_of(event_kind: str, /, **fields: Any) -> EventBody:
    """The body of an event of a kind, from plain data as the journal keeps it."""
    return KINDS[event_kind].model_validate(fields, strict=False)


def opened(path: Path, keys: dict[str, Ed25519PrivateKey], key: int = 1) -> Team:
    """A team whose database is there already."""
    return Team(Live(Store(f"sqlite:///{path}"), key, clock=at(DAY)), keys, path)


def founded(path: Path, plant: Plant, *halves: str) -> Team:
    """A team with a new database of this plant, and the keys of these halves enrolled."""
    store = Store(f"sqlite:///{path}")
    key = import_plant(store, plant, by=LEADS.name, writer="w")
    team = opened(path, {}, key)
    for half in halves:
        team.keys[half] = team.enrol(half)
    return team
