"""Replay of the history of the demo plant: each step of ``history/`` by its person, on its day.

The steps call the same functions as the screens, so all rules apply: nothing is signed that the screens would refuse,
and no event is written by hand. The replay runs in memory and is copied to the store as a whole, so an interrupted
first start leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import yaml
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from checks.access.roles import HALF_OF, Person
from checks.actions import recorded_actions
from checks.journal.schema import IN_MEMORY
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.reassessment import change_records, confirmations, data_checks, failure_records, rounds, schedule
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.recording import answer_records, plant_import, plants
from checks.signoff import accepted_gaps, keys, revisions, sampling, sign_off, signatures, statement
from checks.signoff.signers import HALVES
from checks.signoff.terms import SHOWN, Condition, Terms, Verdict
from checks.state import plant_data_waiting
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from demo.states import States

FOLDER = Path(__file__).parent
KEYS = FOLDER / "keys"
PASSPHRASE = "quillmarch demo only"  # noqa: S105  (no secret: it is published with the keys)
"""Passphrase of the demo keys. It is public: they protect nothing."""
YEARS = ("2021", "2023", "2025", "2026")
WRITER = plants.DEMO

Content = Any
"""Content of a step, as parsed from YAML."""


def read(name: str) -> dict[str, Any]:
    """Content of a file of the history."""
    history: dict[str, Any] = yaml.load(
        (FOLDER / "history" / f"{name}.yaml").read_text(encoding="utf-8"),
        Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader),  # noqa: S506  (both are the safe loader)
    )
    return history


def replayed(present: Plant) -> tuple[Store, int]:
    """A store in memory with the whole history up to the present state of the plant, and the number of the plant in it."""
    years = [read(name) for name in YEARS]
    states: dict[str, Any] = {}
    for year in years:
        states |= year.get("states", {})
    replay = Replay(States(present, states, {short: _name(short, person) for short, person in read("people").items()}))
    for step in (step for year in years for step in year["steps"]):
        replay.do(step)
    return replay.store, replay.live.key


def _name(short: str, person: Mapping[str, str]) -> str:
    return f"{person['trade']} {short}"


class Replay:
    """Replays the steps of the history in order."""

    def __init__(self, states: States) -> None:
        self.store, self.states, self.people = Store(IN_MEMORY), states, read("people")
        self.moment = datetime.min.replace(tzinfo=UTC)
        self._live: Live | None = None
        self._keys: dict[str, Ed25519PrivateKey] = {}
        self._session_day: date | None = None

    @property
    def live(self) -> Live:
        """The plant in the store; raises LookupError before the first step has imported it."""
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
        """Replay one step: the action that it names, by its person, on its day."""
        self.moment = datetime.combine(step["day"], time(12), UTC)
        self._session_day = step.get("held", step["day"])
        (action,) = step.keys() - {"day", "held", "by"}
        DEEDS[action](self, step["by"], step[action])

    def take(self, short: str, content: Content) -> None:
        """Import a state of the plant, with those of its answers that are new or to be confirmed."""
        known = None if self._live is None else self._live.state()
        plant = self.states.given(content, known)
        key = plant_import.import_plant(
            self.store, self.person(short), plant, at=self.moment.isoformat(timespec="milliseconds")
        )
        if self._live is None:
            self._live = Live(self.store, key, clock=lambda: self.moment)

    def enrol(self, short: str, content: Content) -> None:
        """Enrol demo keys, each for a person in their role."""
        for whose, file in content.items():
            private = signatures.unlock((KEYS / f"{file}.pem").read_bytes(), PASSPHRASE)
            self._keys[whose] = private
            public, roles = signatures.public_text(private.public_key()), [self.people[whose]["acts_as"]]
            keys.enrol(self.live, self.person(short), public=public, name=self.name(whose), roles=roles)

    def withdraw(self, short: str, content: Content) -> None:
        """Withdraw the key of a person from the day of the step."""
        key = signatures.key_id(signatures.public_text(self._keys[content["of"]].public_key()))
        day = self.moment.date().isoformat()
        keys.withdraw(self.live, self.person(short), key=key, from_day=day, reason=content["reason"])

    def attend(self, short: str, content: Content) -> None:
        """Record who attended the sessions of systems."""
        for system, who in content.items():
            attendees = [(self.name(short_name), self.people[short_name]["trade"]) for short_name in who]
            answer_records.record_attendance(
                self.live, self.person(short), system=system, on=str(self._session_day), people=attendees
            )

    def change(self, short: str, content: Content) -> None:
        """Record a plant change."""
        plant_change = Change(
            content["kind"], frozenset(content["touched"]), condition_holds=content.get("condition_holds", True)
        )
        words = {"reference": content["reference"], "on": str(self._session_day), "what": content["what"]}
        change_records.record_change(self.live, self.person(short), plant_change, **words)

    def failure(self, short: str, content: Content) -> None:
        """Record a failure."""
        fields: dict[str, Any] = {
            name: tuple(value) if isinstance(value, list) else value for name, value in content.items()
        }
        fields["cause_topics"] = frozenset(content.get("cause_topics", ()))
        failure_records.record_failure(self.live, self.person(short), FailureRecord(on=self.moment.date(), **fields))

    def begin(self, short: str, content: Content) -> None:
        """Begin the next assessment of a system."""
        rounds.begin_assessment(self.live, self.person(short), content)

    def confirm(self, short: str, content: Content) -> None:
        """Confirm the named answers of one topic, or all waiting answers of a system, topic by topic."""
        who = self.person(short)
        if "answers" in content:
            confirmations.confirm_answers(
                self.live, who, [tuple(asked) for asked in content["answers"]], topic=content["topic"]
            )
            return
        while waiting := confirmations.topics_waiting(self.live.state(), content["system"]):
            topic, answers = next(iter(waiting.items()))
            confirmations.confirm_answers(self.live, who, answers[: confirmations.MOST_AT_ONCE], topic=topic)

    def check(self, short: str, content: Content) -> None:
        """Check all plant data of systems that wait after a change; the content says against what, by system."""
        for system, how in content.items():
            places = list(plant_data_waiting.of_system(self.live.state(), system))
            if places:
                data_checks.confirm_data(self.live, self.person(short), places, system=system, how=how)

    def dissent(self, short: str, content: Content) -> None:
        """Record a dissent."""
        fields = {name: content[name] for name in ("value", "reason", "settles")}
        fields |= {"who": self.name(content["who"]), "role": self.people[content["who"]]["trade"]}
        answer_records.record_dissent(self.live, self.person(short), tuple(content["asked"]), fields)

    def settle(self, short: str, content: Content) -> None:
        """Settle a dissent with evidence."""
        who = self.name(content["who"])
        answer_records.close_dissent(
            self.live, self.person(short), tuple(content["asked"]), who=who, shown_by=content["evidence"]
        )

    def private(self, short: str, content: Content) -> None:
        """Record a private answer before the session."""
        fields = {"value": content["value"], "note": content["note"]}
        answer_records.answer_privately(self.live, self.person(short), tuple(content["asked"]), **fields)

    def reveal(self, short: str, content: Content) -> None:
        """Reveal the private answers to questions."""
        answer_records.reveal(self.live, self.person(short), [tuple(asked) for asked in content])

    def action(self, short: str, content: Content) -> None:
        """Raise an action; it gets the next id."""
        asked = [{"question": question, "of": of} for question, of in content.get("questions", ())]
        recorded_actions.raise_one(self.live, self.person(short), {**content, "questions": asked})

    def close(self, short: str, content: Content) -> None:
        """Close an action with its evidence."""
        fields = {"evidence": content["evidence"], "verifier": content["verifier"]}
        recorded_actions.close(self.live, self.person(short), content["action"], **fields)

    def reopen(self, short: str, content: Content) -> None:
        """Reopen an action."""
        recorded_actions.reopen(self.live, self.person(short), content)

    def show(self, short: str, content: Content) -> None:
        """Record one piece of evidence for each named answer."""
        for of, questions in content["of"].items():
            for question in questions:
                answer_records.add_evidence(self.live, self.person(short), (question, of), content["what"])

    def accept(self, short: str, content: Content) -> None:
        """Accept gaps of systems, theme by theme; a theme without questions takes the remaining gaps of its zone."""
        for system in content["systems"]:
            for theme in content["gaps"]:
                names = theme.get("questions") or list(_remaining_gaps(self.live.state(), system, theme["zone"]))
                gaps = [(system, theme["zone"], name) for name in names]
                words = {"reason": theme["reason"], "until": str(content["until"])}
                if gaps:
                    accepted_gaps.accept_gaps(self.live, self.person(short), gaps, **words)

    def put_up(self, short: str, content: Content) -> None:
        """Submit systems for review."""
        for system in content:
            revisions.submit(self.live, self.person(short), system)

    def sign(self, short: str, content: Content) -> None:
        """Sign one half of the latest revision of systems."""
        about, who = self.people[short], self.person(short)
        until = str(content.get("until", ""))
        half = HALF_OF[about["acts_as"]]
        conditions = tuple(Condition(**condition) for condition in content.get("conditions", ()))
        for system in content["systems"]:
            revision = self.live.state().records.revisions[system][-1]
            fixed = revisions.fixed_body(self.live, revision)
            terms = Terms(
                about["independence"],
                about["competence"],
                conditions,
                until,
                verdicts=tuple(_verdicts(fixed, revision, half, who.name)),
                unanswered=len(statement.never_answered(fixed, half).missing),
            )
            sign_off.sign(self.live, who, revision, self._keys[short], half=half, terms=terms)

    def interval(self, short: str, content: Content) -> None:
        """Set the re-assessment interval of systems, in months."""
        for system, months in content.items():
            schedule.set_interval(self.live, self.person(short), system=system, months=months)


def _verdicts(fixed: Mapping[str, Any], revision: Revision, half: str, who: str) -> Iterator[Verdict]:
    """The reviewer's verdict on each sampled answer: the story has them find what the team names."""
    scoring = sampling.order(fixed, HALVES[half], revision=revision.hash, who=who)
    for answer in sampling.drawn(scoring, 1):
        seen = answer.get("evidence") or answer.get("note") or "the evidence on record"
        yield Verdict(answer["question"], answer["of"], SHOWN, f"Seen: {seen}")


DEEDS: Mapping[str, Callable[[Replay, str, Content], None]] = {
    "import": Replay.take,
    "enrol": Replay.enrol,
    "withdraw": Replay.withdraw,
    "attend": Replay.attend,
    "change": Replay.change,
    "failure": Replay.failure,
    "begin": Replay.begin,
    "confirm": Replay.confirm,
    "check": Replay.check,
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
"""Actions that a step can name."""


def _remaining_gaps(state: State, system: str, zone: str) -> Iterator[str]:
    """Gaps of a zone that are not, or no longer, accepted for a system."""
    for gap in state.assessment.zone(zone).gaps:
        if not state.records.stays(system, zone, gap.question, gap.value, state.day):
            yield gap.question
