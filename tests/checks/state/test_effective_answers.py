"""Effective answers: with a dissent the less favourable counts, expired evidence leaves a claim (house rules)."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest

from checks.journal.store import Store
from checks.plantfile.plant import Answer
from checks.recording import answer_records
from checks.signoff.sign_off import NotSigned
from checks.state.live import Live, State
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, DAY, DISSENT, EVIDENCE, Team, ahead, at, midnight

ASKED = ("SEP4", "group:pt-301")
VALUES = ("met", "equivalent", "not-applicable", "partly", "unknown", "not-met")
LESS = {"met": 3, "equivalent": 3, "not-applicable": 2, "partly": 1, "unknown": 0, "not-met": 0}


def speaks(state: State) -> Answer:
    answer = state.assessment.answers.get(*ASKED)
    assert answer is not None
    return answer


def dissent(team: Team, value: str, who: str = "TM-2") -> None:
    answer_records.record_dissent(team.live, ANSWERS, ASKED, {**DISSENT, "value": value, "who": who})


@pytest.mark.parametrize("adopted", VALUES)
@pytest.mark.parametrize("opposed", VALUES)
def test_an_open_dissent_adopts_the_less_favourable_answer(team: Team, adopted: str, opposed: str) -> None:
    team.say(*ASKED, adopted)
    if adopted == opposed:
        with pytest.raises(Refused, match="is the adopted answer; a dissent is another answer"):
            dissent(team, opposed)
        return
    dissent(team, opposed)
    state = team.now()
    worse = LESS[opposed] < LESS[adopted]
    assert speaks(state).value == (opposed if worse else adopted)
    assert state.stored[ASKED].answer.value == adopted, "what was answered stands in the journal"
    if worse:
        assert speaks(state).note == f"Adopted {adopted}; maintenance technician holds {opposed}: one tray"


def test_the_least_favourable_of_several_dissents_counts_until_each_is_settled(team: Team) -> None:
    team.say(*ASKED, "met")
    dissent(team, "partly", "TM-2")
    dissent(team, "not-met", "TM-3")
    assert speaks(team.now()).value == "not-met"
    answer_records.close_dissent(team.live, ANSWERS, ASKED, who="TM-3", shown_by="photo 7")
    assert speaks(team.now()).value == "partly"
    answer_records.close_dissent(team.live, ANSWERS, ASKED, who="tm-2 ", shown_by="photo 8")
    assert (speaks(team.now()).value, speaks(team.now()).note) == ("met", "")
    kept = {opposing.who: opposing.closed for opposing in team.now().records.dissents[ASKED]}
    assert kept == {"TM-2": "photo 8", "TM-3": "photo 7"}


def test_a_member_who_thinks_again_holds_one_dissent_however_the_name_is_typed(team: Team) -> None:
    team.say(*ASKED, "met")
    dissent(team, "not-met", "TM-2")
    dissent(team, "partly", " tm-2")
    assert [opposing.value for opposing in team.now().records.dissents[ASKED]] == ["partly"]
    assert speaks(team.now()).value == "partly"


def test_a_dissent_moves_the_figures_and_settling_it_moves_them_back(team: Team) -> None:
    team.say(*ASKED, "met")
    scores = [_points(team)]
    dissent(team, "not-met")
    scores.append(_points(team))
    answer_records.close_dissent(team.live, ANSWERS, ASKED, who="TM-2", shown_by="photo 7")
    scores.append(_points(team))
    assert scores[0] == scores[2] > scores[1]


def _points(team: Team) -> float:
    score = team.now().assessment.group("pt-301").score
    assert score is not None
    return score.s


@pytest.mark.parametrize(("days", "shown"), [(0, True), (9, True), (10, True), (11, False), (400, False)])
def test_evidence_that_ran_out_leaves_a_claim_from_the_day_after(team: Team, days: int, *, shown: bool) -> None:
    answer_records.add_evidence(team.live, ANSWERS, ("SEP1", "group:pt-301"), {**EVIDENCE, "valid_until": ahead(10)})
    effective = team.on(DAY + timedelta(days=days)).now().assessment.answers.get("SEP1", "group:pt-301")
    assert effective is not None
    assert (effective.value, effective.evidence) == ("met", "walk-down 12" if shown else "")


def test_one_valid_piece_of_evidence_is_enough_and_one_withdrawn_is_none(team: Team) -> None:
    team.say(*ASKED, "met")
    first = answer_records.add_evidence(team.live, ANSWERS, ASKED, {**EVIDENCE, "valid_until": ahead(1)})
    second = answer_records.add_evidence(team.live, ANSWERS, ASKED, EVIDENCE)
    later = team.on(DAY + timedelta(days=5))
    assert speaks(later.now()).evidence == "drawing 4"
    answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=second.seq, reason="another plant's")
    assert speaks(later.now()).evidence == ""
    assert speaks(team.now()).evidence == "drawing 4"
    answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=first.seq, reason="lost")
    assert speaks(team.now()).evidence == ""


def test_a_claim_keeps_its_points_and_stands_in_the_way_of_a_signature(team: Team) -> None:
    before = team.now().assessment.group("pt-301")
    answer_records.add_evidence(team.live, ANSWERS, ("SEP1", "group:pt-301"), {**EVIDENCE, "valid_until": ahead(1)})
    later = team.on(DAY + timedelta(days=2))
    assert later.now().assessment.group("pt-301").pfd == before.pfd
    later.put_up()
    with pytest.raises(NotSigned, match="1 answer without evidence, but scoring: SEP1 of group:pt-301"):
        later.sign("safety")


def test_the_state_of_the_same_live_plant_is_computed_anew_when_the_day_has_changed(team: Team) -> None:
    day = [DAY]
    live = Live(team.store, team.live.key, clock=lambda: midnight(day[0]))
    answer_records.add_evidence(live, ANSWERS, ("SEP1", "group:pt-301"), {**EVIDENCE, "valid_until": ahead(1)})
    first = live.state()
    assert live.state() is first
    day[0] += timedelta(days=2)
    second = live.state()
    assert (first.day, second.day) == (DAY, day[0])
    effective = second.assessment.answers.get("SEP1", "group:pt-301")
    assert effective is not None
    assert effective.evidence == ""
    day[0] = DAY
    assert live.state().records == first.records


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"strength": 6}, "strength: found 6; a whole number from 0 to 5"),
        ({"strength": True}, "strength: found True; a whole number from 0 to 5"),
        ({"strength": None}, "strength: found None; a whole number from 0 to 5"),
        ({"kind": "rumour"}, "kind: found 'rumour'; allowed: document, record, photo of a walkdown, "),
        ({"identifier": ""}, "identifier: missing; document number or name"),
        ({"shows": " "}, "shows: missing; what it shows, in one line"),
        ({"valid_until": "20300101"}, "valid_until: found '20300101'; write a date as 2025-03-04"),
        ({"dated": "March"}, "dated: found 'March'; write a date as 2025-03-04"),
        ({"shows": "x" * 2001}, "shows: 2001 characters; at most 2000"),
    ],
)
def test_evidence_is_refused_with_what_is_allowed(team: Team, fields: dict[str, Any], expected: str) -> None:
    before = team.count()
    with pytest.raises(Refused) as refused:
        answer_records.add_evidence(team.live, ANSWERS, ("SEP1", "group:pt-301"), {**EVIDENCE, **fields})
    assert [line.startswith(f"evidence: {expected}") for line in refused.value.lines()] == [True]
    assert team.count() == before


def test_what_stands_beside_an_answer_needs_an_answer(team: Team) -> None:
    for deed, fields in ((answer_records.add_evidence, EVIDENCE), (answer_records.record_dissent, DISSENT)):
        with pytest.raises(Refused, match="question: SEP5 of group:pt-301 has no answer yet; answer it first"):
            deed(team.live, ANSWERS, ("SEP5", "group:pt-301"), fields)  # type: ignore[operator]


def test_what_is_taken_back_or_settled_must_stand_there_and_says_why(team: Team) -> None:
    team.say(*ASKED, "met")
    number = answer_records.add_evidence(team.live, ANSWERS, ASKED, EVIDENCE).seq
    dissent(team, "partly")
    before = team.count()
    for evidence, reason, message in (
        (number + 1, "lost", f"evidence: {number + 1} does not belong to this answer; choose one of the list"),
        (number, " ", "reason: missing; give the reason"),
    ):
        with pytest.raises(Refused, match=message):
            answer_records.withdraw_evidence(team.live, ANSWERS, ASKED, number=evidence, reason=reason)
    for who, photo, message in (
        ("TM-9", "photo 7", "who: 'TM-9' has no open dissent here; choose one of the list"),
        ("TM-2", "", "evidence: missing; only evidence settles a dissent"),
    ):
        with pytest.raises(Refused, match=message):
            answer_records.close_dissent(team.live, ANSWERS, ASKED, who=who, shown_by=photo)
    with pytest.raises(Refused, match="value: found 'yes'; allowed: met, partly, not-met, "):
        dissent(team, "yes")
    assert team.count() == before


# A clock that was set back.


def under(team: Team, moments: list[str]) -> Team:
    """The same team with a clock at the first of these times; remove it to go on to the next."""
    live = Live(team.store, team.live.key, clock=lambda: datetime.fromisoformat(moments[0]))
    return Team(live, team.keys, team.path)


def test_a_clock_set_back_leaves_the_order_of_events_and_what_holds(team: Team) -> None:
    moments = ["2031-05-05T10:00:00.000+00:00", "2019-01-01T10:00:00.000+00:00"]
    team = under(team, moments)
    team.say(*ASKED, "not-met")
    moments.pop(0)
    team.say(*ASKED, "met")
    assert speaks(team.now()).value == "met"
    again = Live(Store(f"sqlite:///{team.path}"), 1, clock=at(DAY)).state()
    assert speaks(again).value == "met"
    late, early = team.store.events(1)[-2:]
    assert (late.seq + 1, late.at > early.at) == (early.seq, True)
    assert team.store.verify(1)[0] == early.seq


def test_a_review_goes_on_under_a_clock_that_was_set_back(team: Team) -> None:
    moments = [f"20{30 - back}-01-01T00:00:00.000+00:00" for back in range(9)]
    team = under(team, moments)
    revision = team.put_up()
    moments.pop(0)
    team.sign("safety", revision)
    moments.pop(0)
    team.sign("security", revision)
    moments.pop(0)
    assert team.state()[1] == "revision 0: both halves"
    team.say(*ASKED, "partly")
    assert team.state()[1].startswith("revision 0: SEP4 of group:pt-301 was answered partly, 2027-01-01, ")
    assert team.put_up().number == 1
