"""Minutes list what was recorded on the chosen days, and nothing that their reader may not see."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

from checks.access.roles import ASSESSOR, FACILITATOR, MEMBER, Person
from checks.actions import recorded_actions
from checks.journal.append import Entry
from checks.reassessment import confirmations
from checks.recording import answer_records
from checks.session_papers.minutes import HIDDEN, Minutes, Period, minutes
from checks.visibility import redaction
from tests.checks.team import ANSWERS, DISSENT, EVIDENCE, LEADS, OF_S50, Team, ahead

TODAY = datetime.now(UTC).date()
SEEN = ("SEP1", "group:pt-301")
ASSESSOR_1 = Person("IA-1", frozenset({ASSESSOR}))


def of_today(team: Team, reader: Person = LEADS, system: str | None = None) -> Minutes:
    """Minutes of today, UTC, for a reader."""
    period = Period(TODAY, TODAY, UTC)
    return minutes(team.live, redaction.seen(team.now(), reader), reader, system, period)


def answered(found: Minutes) -> dict[tuple[str, str], tuple[str, ...]]:
    """Values of each answer of the minutes."""
    return {(each.question, each.of): each.values for each in found.answers}


def begun(team: Team, *asked: tuple[str, str], blank: bool = True) -> None:
    """The next assessment of S30 begins for some answers, by default as a blind round."""
    body = {"system": "S30", "number": 3, "blank": blank, "answers": [{"question": q, "of": of} for q, of in asked]}
    team.store.record(1, Entry("round", body, LEADS.name, slot="round S30"))


def test_an_answer_is_listed_once_with_its_values_from_the_one_before(team: Team) -> None:
    team.say(*SEEN, "partly", evidence="drawing 5", by="TM-2")
    team.say(*SEEN, "partly", evidence="drawing 6", by="TM-3")
    team.say(*SEEN, "not-met", evidence="drawing 7", note="one tray", by="TM-2")
    (given,) = [each for each in of_today(team).answers if (each.question, each.of) == SEEN]
    assert given.values[-2:] == ("partly", "not-met")
    assert {"TM-2", "TM-3"} <= set(given.by)
    assert (given.evidence, given.note) == ("drawing 7", "one tray")
    assert given.at.tzinfo is UTC


def test_attendance_evidence_dissents_confirmations_and_actions_are_listed(team: Team) -> None:
    answer_records.record_attendance(
        team.live, LEADS, system="S30", on=TODAY.isoformat(), people=[("TM-4", "operator")]
    )
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "valid_until": ahead(9)})
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    asked = [{"question": "SEP1", "of": "group:pt-301"}]
    fields = {"what": "move the cables", "system": "S30", "owner": "IE-1", "due": date.fromisoformat(ahead(30))}
    recorded_actions.raise_one(team.live, LEADS, {**fields, "questions": asked})
    begun(team, ("PRO1", "plant"), blank=False)
    confirmations.confirm_answers(team.live, ANSWERS, [("PRO1", "plant")])
    found = of_today(team, system="S30")
    assert [(key, person.name, person.role) for key, person in found.present] == [("S30", "TM-4", "operator")]
    assert [(asked, piece.identifier) for asked, piece in found.evidence] == [(SEEN, EVIDENCE["identifier"])]
    assert [(asked, dissent.value) for asked, dissent in found.dissents] == [(SEEN, "not-met")]
    assert [(step.action.what, step.steps) for step in found.actions] == [("move the cables", ("raised",))]
    assert [(each.question, each.of, each.by) for each in found.confirmed] == [("PRO1", "plant", "TM-1")]
    other = of_today(team, system="S50")
    assert (other.present, other.evidence, other.dissents, other.actions) == ((), (), (), ())


def test_a_day_begins_and_ends_with_the_local_clock(team: Team) -> None:
    east = timezone(timedelta(hours=9))
    assert Period(date(2025, 3, 4), date(2025, 3, 5), east).bounds() == (
        "2025-03-03T15:00:00.000+00:00",
        "2025-03-05T15:00:00.000+00:00",
    )
    state = team.now()
    yesterday = TODAY - timedelta(days=1)
    assert not minutes(team.live, state, LEADS, None, Period(yesterday, yesterday, UTC)).answers
    assert len(minutes(team.live, state, LEADS, None, Period(yesterday, TODAY, UTC)).answers) == len(state.stored)


def test_a_blind_round_hides_answers_of_the_same_day_from_who_answers_and_from_nobody_else(team: Team) -> None:
    team.say(*SEEN, "partly")
    answer_records.add_evidence(team.live, ANSWERS, SEEN, EVIDENCE)
    answer_records.record_dissent(team.live, ANSWERS, SEEN, DISSENT)
    other = ("ASM1", "system:S30")
    begun(team, SEEN, other)
    for reader in (LEADS, ANSWERS, Person("XX-1", frozenset({MEMBER, ASSESSOR}))):
        found = of_today(team, reader)
        assert not {SEEN, other} & set(answered(found))
        assert found.hidden == 2
        assert not found.evidence
        assert not found.dissents
    full = of_today(team, ASSESSOR_1)
    assert {SEEN, other} <= set(answered(full))
    assert full.hidden == 0
    assert [asked for asked, _ in full.dissents] == [SEEN]
    team.say(*SEEN, "not-met")
    assert answered(of_today(team))[SEEN][-1] == "not-met"


def test_an_answer_before_the_days_is_hidden_as_the_value_before(team: Team) -> None:
    """Minutes of later days: the value before is no way round the blind round."""
    later = team.on(TODAY + timedelta(days=1))
    period = Period(TODAY + timedelta(days=1), TODAY + timedelta(days=1), UTC)
    later.say(*SEEN, "partly")
    state = redaction.seen(later.now(), LEADS)
    (given,) = minutes(later.live, state, LEADS, None, period).answers
    assert given.values == ("met", "partly")
    begun(later, SEEN)
    assert HIDDEN not in str(minutes(later.live, redaction.seen(later.now(), LEADS), LEADS, None, period).answers)


def test_a_member_of_one_team_finds_nothing_of_another(team: Team) -> None:
    team.say("SEP1", "group:lt-501", "met", evidence=OF_S50)
    member = Person("TM-9", frozenset({MEMBER}), systems=frozenset({"S30"}))
    assert ("SEP1", "group:lt-501") in answered(of_today(team, LEADS))
    found = of_today(team, member)
    assert SEEN in answered(found)
    assert OF_S50 not in repr(found)
    assert OF_S50 in repr(of_today(team, Person("FA-2", frozenset({FACILITATOR}))))
