"""Permissions: each deed with each role is refused below the screens, and nothing is stored on a refusal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from checks.access.roles import (
    ASSESSOR,
    FACILITATOR,
    MAY,
    MEMBER,
    OWNER,
    REVIEWER,
    ROLES,
    VIEWER,
    NoName,
    NotAllowed,
    Person,
)
from checks.actions import recorded_actions
from checks.events.kinds import KINDS
from checks.improvement import recorded_changes, recorded_efforts
from checks.reassessment import change_records, confirmations, data_checks, failure_records, rounds, schedule
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change
from checks.record_files import exports
from checks.recording import answer_history, answer_records, answering, plant_import, plants
from checks.signoff import accepted_gaps, keys, review_comments, revisions, sign_off, signatures
from checks.signoff.sign_off import NotSigned
from checks.signoff.signatures import KeyRefused
from checks.state import plant_data_waiting
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, ASSESSES, DISSENT, EVIDENCE, OWNS, PHRASE, Team, ahead, full_terms, three_systems
from tests.rule import Rule

NAME = "XX-1"
SEEN = ("SEP1", "group:pt-301")
PUBLIC = signatures.make(PHRASE).public
TEAM, READERS = {FACILITATOR, MEMBER}, {FACILITATOR, MEMBER, REVIEWER, ASSESSOR, OWNER}

# Common practice, no source: a facilitator leads and does not answer; who answers does not sign; who signs does not
# answer; the asset owner accepts risk; members do not see who dissented; a viewer sees results.
PRACTICE: dict[str, set[str]] = {
    "answer a question": {MEMBER},
    "record evidence": TEAM,
    "record a dissent": TEAM,
    "record attendance": {FACILITATOR},
    "confirm an answer": {MEMBER},
    "answer privately": {MEMBER},
    "reveal the private answers": {FACILITATOR},
    "record a change": {*TEAM, OWNER},
    "begin a re-assessment": {FACILITATOR},
    "raise or change an action": {*TEAM, OWNER},
    "submit for review": {FACILITATOR},
    "send back": {ASSESSOR, REVIEWER},
    "comment on a review": READERS,
    "sign": {ASSESSOR, REVIEWER},
    "accept a residual risk": {OWNER},
    "enrol or withdraw a key": {OWNER},
    "set an interval": {OWNER},
    "import plant data": {*TEAM, OWNER},
    "archive a plant": {FACILITATOR, OWNER},
    "see the common-cause answers": READERS,
    "see gap detail": READERS,
    "see evidence": READERS,
    "see who dissented": READERS - {MEMBER},
    "see gap counts": {*READERS, VIEWER},
    "see betas and results": {*READERS, VIEWER},
    "export a record": READERS - {MEMBER},
}


def _half(person: Person) -> str:
    return "security" if REVIEWER in person.roles else "safety"


def sign(team: Team, person: Person) -> None:
    half = _half(person)
    private = team.enrol(half, name=NAME)
    terms = full_terms(team.live, team.latest(), half, NAME)
    sign_off.sign(team.live, person, team.latest(), private, half=half, terms=terms)


def send_back(team: Team, person: Person) -> None:
    half = _half(person)
    revisions.send_back(team.live, person, team.latest(), half=half, comments="Which laptop?")


def reply(team: Team, person: Person) -> None:
    """Reply to the comment of a reviewer."""
    asked = review_comments.comment(team.live, ASSESSES, team.latest(), half="safety", text="Which manifold?")
    review_comments.reply(team.live, person, team.latest(), to=asked.seq, text="The upper one.")


def answer(team: Team, person: Person) -> None:
    fields = {"question": SEEN[0], "of": SEEN[1], "value": "partly", "on": "2025-03-04"}
    answering.record(team.live, person, fields, seen=team.now().stored[SEEN].id)


def take_back(team: Team, person: Person) -> None:
    event = answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.withdraw_evidence(team.live, person, SEEN, number=event.seq, reason="the hook-up was changed")


def take_answer_back(team: Team, person: Person) -> None:
    """Take back an answer that was given in the person's own browser session."""
    question, of = SEEN
    given, seen = {"question": question, "of": of, "value": "partly"}, team.now().stored[SEEN].id
    stored = answering.record(team.live, replace(ANSWERS, writer=person.writer), given, seen=seen)
    answer_history.take_back(team.live, person, SEEN, seen=stored.id)


def settle(team: Team, person: Person) -> None:
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    answer_records.close_dissent(team.live, person, SEEN, who="TM-2", shown_by="photo 7")


def accept(team: Team, person: Person) -> None:
    team.say("Z01", "zone:sis", "not-met")
    accepted_gaps.accept_gaps(team.live, person, [("S30", "sis", "Z01")], reason="locked and alarmed", until=ahead(9))


def withdraw(team: Team, person: Person) -> None:
    keys.withdraw(team.live, person, key=team.key_of("safety"), from_day=ahead(0), reason="lost")


def confirm(team: Team, person: Person) -> None:
    changed(team, ANSWERS)
    confirmations.confirm_answers(team.live, person, [SEEN])


def changed(team: Team, person: Person) -> None:
    change = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T1"}))
    change_records.record_change(
        team.live, person, change, reference="MOC-1", on="2025-03-04", what="one batch for all"
    )


def correct_attendance(team: Team, person: Person) -> None:
    words = {"system": "S30", "on": "2025-03-04"}
    answer_records.record_attendance(team.live, replace(ANSWERS, roles=frozenset(TEAM)), people=[("TM-1", "")], **words)
    answer_records.correct_attendance(team.live, person, name="TM-1", reason="another meeting", **words)


def take_change_back(team: Team, person: Person) -> None:
    """Take back a change that was recorded in the person's own browser session."""
    changed(team, replace(ANSWERS, writer=person.writer))
    change_records.take_back(team.live, person, team.now().records.changes[-1].cause.seq)


def check_data(team: Team, person: Person) -> None:
    change = Change("proof-test", frozenset({"group:pt-301"}))
    change_records.record_change(team.live, ANSWERS, change, reference="MOC-2", on="2025-03-04", what="longer")
    places = list(plant_data_waiting.of_system(team.now(), "S30"))
    data_checks.confirm_data(team.live, person, places, system="S30", how="procedure 12")


def begin(team: Team, person: Person) -> None:
    for half in ("safety", "security"):
        team.sign(half)
    rounds.begin_assessment(team.live, person, "S30")


def reveal(team: Team, person: Person) -> None:
    answer_records.answer_privately(team.live, ANSWERS, SEEN, value="partly")
    answer_records.reveal(team.live, person, [SEEN])


def failed(team: Team, person: Person) -> None:
    record = FailureRecord(
        on=date(2025, 3, 4), reference="FR-1", groups=("pt-301",), channels=("PT-301A",), found_by="proof-test",
        cause="worn seal", cause_explained=True, software_involved=False,
    )  # fmt: skip
    failure_records.record_failure(team.live, person, record)


ACTION = {"what": "split the taps", "owner": "instrument engineer", "due": date(2199, 1, 1)}
DEEDS: list[tuple[str, str, Callable[[Team, Person], Any]]] = [
    ("answer a question", "answer", answer),
    ("record evidence", "evidence", lambda team, who: answer_records.add_evidence(team.live, who, SEEN, EVIDENCE)),
    ("record evidence", "evidence-withdrawn", take_back),
    ("answer a question", "answer-taken-back", take_answer_back),
    ("record a dissent", "dissent", lambda team, who: answer_records.record_dissent(team.live, who, SEEN, DISSENT)),
    ("record a dissent", "dissent-closed", settle),
    ("record attendance", "attendance",
     lambda team, who: answer_records.record_attendance(team.live, who, system="S30", on="2025-03-04", people=[("TM-1", "")])),
    ("record attendance", "attendance-corrected", correct_attendance),
    ("submit for review", "revision", lambda team, who: revisions.submit(team.live, who, "S40")),
    ("send back", "sent-back", send_back),
    ("comment on a review", "review-comment", reply),
    ("sign", "signature", sign),
    ("accept a residual risk", "gap-accepted", accept),
    ("enrol or withdraw a key", "key", lambda team, who: keys.enrol(team.live, who, public=PUBLIC, name="B", roles=[VIEWER])),
    ("enrol or withdraw a key", "key-withdrawn", withdraw),
    ("enrol or withdraw a key", "name-linked",
     lambda team, who: keys.link_names(team.live, who, name="TM-1", earlier="Tia Maes", reason="married in 2024")),
    ("set an interval", "interval", lambda team, who: schedule.set_interval(team.live, who, system="S30", months=36)),
    ("record a change", "change", changed),
    ("record a change", "failure", failed),
    ("record a change", "entry-taken-back", take_change_back),
    ("record a change", "data-checked", check_data),
    ("confirm an answer", "confirmed", confirm),
    ("begin a re-assessment", "round", begin),
    ("answer privately", "private", lambda team, who: answer_records.answer_privately(team.live, who, SEEN, value="partly")),
    ("reveal the private answers", "revealed", reveal),
    ("raise or change an action", "action", lambda team, who: recorded_actions.raise_one(team.live, who, ACTION)),
    ("raise or change an action", "effort", lambda team, who: recorded_efforts.enter(team.live, who, {SEEN: "2"})),
    (
        "raise or change an action",
        "allowed-change",
        lambda team, who: recorded_changes.allow(
            team.live, who, {"group": "pt-301", "change": "interval", "test": "", "to": "4380", "effort": "2"}
        ),
    ),
    ("import plant data", "plant-data", lambda team, who: plant_import.import_plant(team.store, who, three_systems())),
    ("archive a plant", "archive", lambda team, who: plants.archive_plant(team.live, who)),
    ("see gap detail", "export", lambda team, who: exports.handed_out(team.live, who, "gaps of Z1, CSV", needs="see gap detail")),
    ("export a record", "export", lambda team, who: exports.export(team.live, who, team.latest())),
]  # fmt: skip


def test_the_table_of_deeds_is_the_practice_written_out_here() -> None:
    assert {deed: set(roles) for deed, roles in MAY.items()} == PRACTICE
    assert set(ROLES) == {role for roles in PRACTICE.values() for role in roles}


def test_every_deed_that_a_module_asks_for_is_tried_here() -> None:
    asked = {body.PERMISSION for body in KINDS.values() if body.PERMISSION}
    named_by_the_caller = {"export a record", "see gap detail"}
    assert asked == {deed for deed, _, _ in DEEDS} - named_by_the_caller
    assert {kind for _, kind, _ in DEEDS} == set(KINDS)


@pytest.fixture(scope="module")
def reviewed(made: Team, tmp_path_factory: pytest.TempPathFactory) -> Team:
    """A team whose S30 is under review."""
    team = made.copy(tmp_path_factory.mktemp("roles") / "answers.sqlite3")
    team.put_up()
    return team


@pytest.mark.parametrize(("deed", "kind", "do"), DEEDS, ids=[kind for _, kind, _ in DEEDS])
def test_each_role_is_let_or_refused_and_nothing_is_stored_on_a_refusal(
    reviewed: Team, tmp_path: Path, deed: str, kind: str, do: Callable[[Team, Person], Any]
) -> None:
    with Rule() as rule:
        for role in ROLES:
            with rule.case(role):
                team = reviewed.copy(tmp_path / f"{role}.sqlite3")
                person = Person(NAME, frozenset({role}), "signed in", "a browser")
                if role in PRACTICE[deed]:
                    do(team, person)
                    last = team.store.events(1)[-1]
                    assert (last.kind, last.by, last.identity, last.writer) == (kind, NAME, "signed in", "a browser")
                else:
                    with pytest.raises(NotAllowed) as refused:
                        do(team, person)
                    takes = f"to {deed} needs the role {' or '.join(MAY[deed])}; {NAME} acts as {role}"
                    assert str(refused.value) == takes
                    assert NAME not in {event.by for event in team.store.events(1)}


def test_a_person_with_several_roles_may_do_what_any_of_them_may(reviewed: Team, tmp_path: Path) -> None:
    team = reviewed.copy(tmp_path / "answers.sqlite3")
    both = Person(NAME, frozenset({VIEWER, OWNER}))
    schedule.set_interval(team.live, both, system="S30", months=36)
    with pytest.raises(NotAllowed, match=rf"; {NAME} acts as owner, viewer$"):
        revisions.submit(team.live, both, "S40")


def test_nobody_without_a_role_may_do_anything() -> None:
    nobody = Person("", frozenset())
    assert not any(nobody.may(deed) for deed in MAY)
    with pytest.raises(NotAllowed, match=r"; you act as nobody$"):
        nobody.require("sign")


def test_nothing_is_recorded_without_a_name(reviewed: Team, tmp_path: Path) -> None:
    """A signature and an acceptance are refused for reasons of their own: the key is another's, the owner has no name."""
    with Rule() as rule:
        for deed, kind, do in DEEDS:
            with rule.case(kind):
                team = reviewed.copy(tmp_path / f"{kind} {deed}.sqlite3")
                role = next(role for role in ROLES if role in PRACTICE[deed])
                with pytest.raises((NoName, NotSigned, KeyRefused, Refused)):
                    do(team, Person(" ", frozenset({role})))
                assert all(event.by.strip() for event in team.store.events(1))


@pytest.mark.parametrize("months", [0, -1, 121, 1.5, True])
def test_an_interval_is_one_to_120_whole_months(team: Team, months: Any) -> None:
    with pytest.raises(ValueError, match="allowed: 1 to 120, whole months"):
        schedule.set_interval(team.live, OWNS, system="S30", months=months)
    assert team.now().records.intervals == {}


def test_an_interval_and_an_attendance_are_of_a_system_that_is_there(team: Team) -> None:
    with pytest.raises(ValueError, match="S99 is no system of this plant"):
        schedule.set_interval(team.live, OWNS, system="S99", months=36)
    leads = replace(OWNS, roles=frozenset({FACILITATOR}))
    with pytest.raises(ValueError, match="S99 is no system of this plant"):
        answer_records.record_attendance(team.live, leads, system="S99", on="2025-03-04", people=[("TM-1", "")])


def test_a_key_is_enrolled_once_with_a_name_and_a_known_role(team: Team) -> None:
    key = team.now().records.keys[team.key_of("safety")]
    for message, public, name, roles in (
        ("key: enrolled already, for IA-1; a key is enrolled once; create another key", key.public, "B", (VIEWER,)),
        ("name: missing; name the key holder", PUBLIC, " ", (VIEWER,)),
        ("roles: found none; allowed: facilitator, ", PUBLIC, "B", ()),
        ("roles: found boss; allowed: facilitator, ", PUBLIC, "B", ("boss",)),
    ):
        with pytest.raises(ValueError, match=message):
            keys.enrol(team.live, OWNS, public=public, name=name, roles=roles)


def test_a_key_that_nobody_enrolled_cannot_be_withdrawn_and_a_withdrawal_says_why(team: Team) -> None:
    for key, reason, message in (
        ("ab" * 8, "lost", "key: abababababababab is not enrolled; choose one of the list"),
        (team.key_of("safety"), " ", "reason: missing; say why, in a sentence"),
    ):
        with pytest.raises(ValueError, match=message):
            keys.withdraw(team.live, OWNS, key=key, from_day=ahead(0), reason=reason)
    assert not any(key.withdrawn for key in team.now().records.keys.values())


def test_a_gap_is_accepted_by_name_and_an_attendance_names_somebody(team: Team) -> None:
    team.say("Z01", "zone:sis", "not-met")
    nobody = replace(OWNS, name=" ")
    with pytest.raises(ValueError, match="enter your name: a residual risk is accepted by name"):
        accepted_gaps.accept_gaps(team.live, nobody, [("S30", "sis", "Z01")], reason="locked", until=ahead(9))
    leads = replace(OWNS, roles=frozenset({FACILITATOR}))
    with pytest.raises(ValueError, match="nobody is named; name at least one person"):
        answer_records.record_attendance(team.live, leads, system="S30", on="2025-03-04", people=[(" ", "guest")])
    with pytest.raises(ValueError, match="on: found 'today'; write a date as 2025-03-04"):
        answer_records.record_attendance(team.live, leads, system="S30", on="today", people=[("TM-1", "")])
