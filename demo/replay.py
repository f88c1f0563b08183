"""The history of the demo plant, done again: each step of ``history/`` by its person on its day, through the deeds.

Every rule therefore holds of it: nothing is signed that could not be signed on the screens, and no event is written by
hand. It is replayed in memory and taken over whole, so that an interrupted first start leaves nothing half done.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import yaml
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import HALF_OF, Person
from checks.actions import register
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.reassessment import reassessments, schedule
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.recording import plant_import, session
from checks.signoff import accepted_gaps, keys, revisions, sign_off, signatures
from checks.signoff.sign_off import Terms
from checks.state.live import Live, State
from demo.states import States

FOLDER = Path(__file__).parent
KEYS = FOLDER / "keys"
PASSPHRASE = "quillmarch demo only"  # noqa: S105  (no secret: it stands beside the keys)
"""Of the demo keys, for everybody to read: they protect nothing."""
YEARS = ("2021", "2023", "2025", "2026")
WRITER = "demo"

Told = Any
"""What a step says of its deed, as YAML gives it."""


def read(name: str) -> dict[str, Any]:
    """A file of the history."""
    held: dict[str, Any] = yaml.load(
        (FOLDER / "history" / f"{name}.yaml").read_text(encoding="utf-8"),
        Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader),  # noqa: S506  (both are the safe loader)
    )
    return held


def replayed(present: Plant) -> tuple[Store, int]:
    """A store in memory with the whole history up to the present state of the plant, and the plant's number there."""
    years = [read(name) for name in YEARS]
    states: dict[str, Any] = {}
    for one in years:
        states |= one.get("states", {})
    replay = Replay(States(present, states, {short: _name(short, one) for short, one in read("people").items()}))
    for step in (step for one in years for step in one["steps"]):
        replay.do(step)
    return replay.store, replay.live.key


def _name(short: str, told: Mapping[str, str]) -> str:
    return f"{told['trade']} {short}"


class Replay:
    """Does one step after the other."""

    def __init__(self, states: States) -> None:
        self.store, self.states, self.people = Store(IN_MEMORY), states, read("people")
        self.now = datetime.min.replace(tzinfo=UTC)
        self._live: Live | None = None
        self._keys: dict[str, Ed25519PrivateKey] = {}
        self._held: date | None = None

    @property
    def live(self) -> Live:
        """The follower of the plant; its first step brings the plant."""
        if self._live is None:
            raise LookupError("a history begins with an import of the plant")
        return self._live

    def name(self, short: str) -> str:
        """Name of a person, such as ``facilitator F-1``."""
        return _name(short, self.people[short])

    def person(self, short: str) -> Person:
        """A person in their role."""
        return Person(self.name(short), frozenset({self.people[short]["acts_as"]}), writer=WRITER)

    def do(self, step: Mapping[str, Any]) -> None:
        """Do one step: on its day, by its person, the one deed that it names."""
        self.now = datetime.combine(step["day"], time(12), UTC)
        self._held = step.get("held", step["day"])
        (deed,) = step.keys() - {"day", "held", "by"}
        DEEDS[deed](self, step["by"], step[deed])

    def take(self, short: str, told: Told) -> None:
        """Import a state of the plant; of its answers those that are to be given."""
        known = None if self._live is None else self._live.state()
        plant = self.states.given(told, known)
        key = plant_import.import_plant(
            self.store, self.person(short), plant, at=self.now.isoformat(timespec="milliseconds")
        )
        if self._live is None:
            self._live = Live(self.store, key, clock=lambda: self.now)

    def enrol(self, short: str, told: Told) -> None:
        """Enrol demo keys, each for a person in their role."""
        for whose, file in told.items():
            private = signatures.unlock((KEYS / f"{file}.pem").read_bytes(), PASSPHRASE)
            self._keys[whose] = private
            public, roles = signatures.public_text(private.public_key()), [self.people[whose]["acts_as"]]
            keys.enrol(self.live, self.person(short), public=public, name=self.name(whose), roles=roles)

    def withdraw(self, short: str, told: Told) -> None:
        """Withdraw the key of a person from today on."""
        key = signatures.key_id(signatures.public_text(self._keys[told["of"]].public_key()))
        day = self.now.date().isoformat()
        keys.withdraw(self.live, self.person(short), key=key, from_day=day, reason=told["reason"])

    def attend(self, short: str, told: Told) -> None:
        """Record who came to the sessions of systems."""
        for system, who in told.items():
            came = [(self.name(one), self.people[one]["trade"]) for one in who]
            session.attend(self.live, self.person(short), system=system, on=str(self._held), people=came)

    def change(self, short: str, told: Told) -> None:
        """Record a plant change."""
        made = Change(told["kind"], frozenset(told["touched"]), condition_holds=told.get("condition_holds", True))
        words = {"reference": told["reference"], "on": str(self._held), "what": told["what"]}
        reassessments.change(self.live, self.person(short), made, **words)

    def failure(self, short: str, told: Told) -> None:
        """Record a failure."""
        fields: dict[str, Any] = {
            name: tuple(value) if isinstance(value, list) else value for name, value in told.items()
        }
        fields["cause_topics"] = frozenset(told.get("cause_topics", ()))
        reassessments.failure(self.live, self.person(short), FailureRecord(on=self.now.date(), **fields))

    def begin(self, short: str, told: Told) -> None:
        """Begin the next assessment of a system."""
        reassessments.begin(self.live, self.person(short), told)

    def confirm(self, short: str, told: Told) -> None:
        """Confirm the named answers of one topic, or topic by topic whatever waits in a system."""
        who = self.person(short)
        if "answers" in told:
            reassessments.confirm(self.live, who, [tuple(one) for one in told["answers"]], topic=told["topic"])
            return
        while waiting := reassessments.topics_waiting(self.live.state(), told["system"]):
            topic, answers = next(iter(waiting.items()))
            reassessments.confirm(self.live, who, answers, topic=topic)

    def dissent(self, short: str, told: Told) -> None:
        """Keep somebody's other answer."""
        fields = {name: told[name] for name in ("value", "reason", "settles")}
        fields |= {"who": self.name(told["who"]), "role": self.people[told["who"]]["trade"]}
        session.dissent(self.live, self.person(short), tuple(told["asked"]), fields)

    def settle(self, short: str, told: Told) -> None:
        """Settle a dissent by evidence."""
        who = self.name(told["who"])
        session.settle(self.live, self.person(short), tuple(told["asked"]), who=who, shown_by=told["evidence"])

    def private(self, short: str, told: Told) -> None:
        """Give one's own answer before the session."""
        fields = {"value": told["value"], "note": told["note"]}
        session.answer_privately(self.live, self.person(short), tuple(told["asked"]), **fields)

    def reveal(self, short: str, told: Told) -> None:
        """Show the private answers to questions."""
        session.reveal(self.live, self.person(short), [tuple(one) for one in told])

    def action(self, short: str, told: Told) -> None:
        """Raise an action; its id follows from how many there were before."""
        asked = [{"question": question, "of": of} for question, of in told.get("questions", ())]
        register.raise_one(self.live, self.person(short), {**told, "questions": asked})

    def close(self, short: str, told: Told) -> None:
        """Close an action by its evidence."""
        fields = {"evidence": told["evidence"], "verifier": told["verifier"]}
        register.close(self.live, self.person(short), told["action"], **fields)

    def reopen(self, short: str, told: Told) -> None:
        """Open an action again."""
        register.reopen(self.live, self.person(short), told)

    def show(self, short: str, told: Told) -> None:
        """Record one piece of evidence for each of the named answers."""
        for of, questions in told["of"].items():
            for question in questions:
                session.show(self.live, self.person(short), (question, of), told["what"])

    def accept(self, short: str, told: Told) -> None:
        """Accept gaps of systems, theme by theme; a theme that names no questions takes what is left of its zone."""
        for system in told["systems"]:
            for theme in told["gaps"]:
                names = theme.get("questions") or list(_left(self.live.state(), system, theme["zone"]))
                gaps = [(system, theme["zone"], name) for name in names]
                words = {"reason": theme["reason"], "until": str(told["until"])}
                if gaps:
                    accepted_gaps.accept_gaps(self.live, self.person(short), gaps, **words)

    def put_up(self, short: str, told: Told) -> None:
        """Put systems up for review."""
        for system in told:
            revisions.put_up(self.live, self.person(short), system)

    def sign(self, short: str, told: Told) -> None:
        """Sign one half of the latest revision of systems."""
        about, who = self.people[short], self.person(short)
        until = str(told.get("until", ""))
        terms = Terms(about["independence"], about["competence"], tuple(told.get("conditions", ())), until, turns=1)
        for system in told["systems"]:
            revision = self.live.state().records.revisions[system][-1]
            half = HALF_OF[about["acts_as"]]
            sign_off.sign(self.live, who, revision, self._keys[short], half=half, terms=terms)

    def interval(self, short: str, told: Told) -> None:
        """Set after how many months systems are assessed again."""
        for system, months in told.items():
            schedule.set_interval(self.live, self.person(short), system=system, months=months)


DEEDS: Mapping[str, Callable[[Replay, str, Told], None]] = {
    "import": Replay.take,
    "enrol": Replay.enrol,
    "withdraw": Replay.withdraw,
    "attend": Replay.attend,
    "change": Replay.change,
    "failure": Replay.failure,
    "begin": Replay.begin,
    "confirm": Replay.confirm,
    "dissent": Replay.dissent,
    "settle": Replay.settle,
    "private": Replay.private,
    "reveal": Replay.reveal,
    "action": Replay.action,
    "close": Replay.close,
    "reopen": Replay.reopen,
    "show": Replay.show,
    "accept": Replay.accept,
    "put_up": Replay.put_up,
    "sign": Replay.sign,
    "interval": Replay.interval,
}
"""What a step can name."""


def _left(now: State, system: str, zone: str) -> Iterator[str]:
    """Gaps of a zone that are not accepted for a system, or no longer."""
    for gap in now.assessment.zone(zone).gaps:
        if not now.records.stays(system, zone, gap.question, gap.value, now.day):
            yield gap.question
