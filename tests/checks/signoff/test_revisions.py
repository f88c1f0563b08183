"""States of a revision from being answered to signed and followed, and two people who do the same at once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from checks.journal.conflicts import Overtaken
from checks.recording import session
from checks.signoff import revisions, signatures
from checks.signoff.revisions import NothingNew, NotUnderReview
from checks.signoff.sign_off import NotSigned
from checks.state.entries import ANSWERING, FOLLOWED, REVIEWED, SENT_BACK, SIGNED, VOID
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, ASSESSES, DAY, DISSENT, EVIDENCE, LEADS, REVIEWS, Team, ahead, opened


def test_a_system_is_being_answered_until_it_is_put_up(team: Team) -> None:
    assert team.state() == (ANSWERING, "never put up for review")
    team.put_up()
    assert team.state() == (REVIEWED, "revision 0: signed so far: neither half")


@pytest.mark.parametrize("order", [("safety", "security"), ("security", "safety")])
def test_it_is_signed_when_both_halves_are_in_any_order(team: Team, order: tuple[str, str]) -> None:
    team.put_up()
    team.sign(order[0])
    assert team.state() == (REVIEWED, f"revision 0: signed so far: {order[0]}")
    team.sign(order[1])
    assert team.state() == (SIGNED, "revision 0: both halves")
    assert team.now().records.signed("S30") == team.latest()


def test_a_revision_is_numbered_from_zero_and_fixes_what_it_rests_on(team: Team) -> None:
    revision = team.put_up()
    fixed = revisions.fixed_body(team.live, revision)
    assert (revision.number, fixed["number"], fixed["system"], fixed["plant"]) == (0, 0, "S30", "Quillmarch Works")
    assert fixed["journal"] == {"events": 126, "head": team.store.head(1, 126)}, "plant data, 123 answers, two keys"


def test_the_same_facts_are_not_put_up_twice(team: Team) -> None:
    team.put_up()
    before = team.count()
    with pytest.raises(NothingNew, match=r"^revision 0 of S30 rests on exactly the same facts and stands; "):
        team.put_up()
    team.sign("safety")
    team.sign("security")
    with pytest.raises(NothingNew):
        team.put_up()
    assert team.count() == before + 2


def test_it_is_sent_back_with_comments_and_put_up_again(team: Team) -> None:
    revision = team.put_up()
    revisions.send_back(team.live, REVIEWS, revision, half="security", comments="  Which laptop?  ")
    assert team.state() == (SENT_BACK, f"revision 0: SR-1, {DAY}: Which laptop?")
    with pytest.raises(NotSigned, match="revision 0 is sent back, not with the reviewers"):
        team.sign("safety", revision)
    with pytest.raises(NotUnderReview, match=r"^revision 0 of S30 is sent back; look at the latest one$"):
        revisions.send_back(team.live, ASSESSES, revision, half="safety", comments="And which valve?")
    assert team.put_up().number == 1
    assert team.state()[0] == REVIEWED


@pytest.mark.parametrize(
    ("half", "comments", "told"),
    [
        ("security", " \n", "sent back: comments: missing; say what must be looked at again"),
        ("safety", "no", "sent back: half: found 'safety'; yours is the security half"),
        ("both", "no", "sent back: half: found 'both'; yours is the security half"),
    ],
)
def test_sending_back_takes_comments_and_ones_own_half(team: Team, half: str, comments: str, told: str) -> None:
    revision = team.put_up()
    with pytest.raises(Refused) as refused:
        revisions.send_back(team.live, REVIEWS, revision, half=half, comments=comments)
    assert refused.value.lines() == [told]
    assert team.state()[0] == REVIEWED


def test_a_signed_revision_is_followed_when_both_halves_of_a_later_one_are_signed(team: Team) -> None:
    first = team.signed()
    team.say("SEP1", "group:pt-301", "partly")
    second = team.put_up()
    assert revisions.stands(team.now(), first) == VOID
    team.sign("safety")
    assert revisions.stands(team.now(), first) == VOID
    team.sign("security")
    assert revisions.stands(team.now(), first) == FOLLOWED
    assert revisions.stands(team.now(), second) == SIGNED


def test_a_revision_that_only_one_half_signed_is_never_followed(team: Team) -> None:
    first = team.put_up()
    team.sign("safety", first)
    team.say("SEP1", "group:pt-301", "partly")
    second = team.signed()
    assert revisions.stands(team.now(), second) == SIGNED
    assert revisions.stands(team.now(), first) == VOID


def test_a_later_revision_whose_signature_does_not_count_follows_nothing(team: Team) -> None:
    """A withdrawn key makes the later revision incomplete, so the earlier one is void as before, not followed."""
    first = team.signed()
    team.say("SEP1", "group:pt-301", "partly")
    later = team.on(DAY + timedelta(days=5))
    later.signed()
    assert revisions.stands(later.now(), first) == FOLLOWED
    later.withdraw("safety", 5)
    assert revisions.stands(later.now(), first) == VOID
    signed = later.now().records.signed(first.system)
    assert signed is not None
    assert signed.number == first.number


def test_a_conditional_sign_off_ends_after_its_last_day(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(20))
    team.sign("security", conditions=("mode switch locked",), until=ahead(10))
    assert team.state() == (SIGNED, f"revision 0: with conditions, until {ahead(10)}")
    assert team.on(DAY + timedelta(days=10)).state()[0] == SIGNED
    later = team.on(DAY + timedelta(days=11))
    assert later.state() == (VOID, f"revision 0: the conditions of its sign-off ended on {ahead(10)}")
    assert later.put_up().number == 1


def test_conditions_that_ended_before_the_other_half_was_signed_void_it_too(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(1))
    later = team.on(DAY + timedelta(days=2))
    assert later.state()[0] == VOID
    with pytest.raises(NotSigned, match="revision 0 is invalidated, not with the reviewers"):
        later.sign("security")


def test_a_revision_that_was_voided_while_a_signer_read_it_is_judged_as_it_is_now(team: Team) -> None:
    read = team.put_up()
    team.say("SEP1", "group:pt-301", "partly")
    with pytest.raises(NotSigned) as told:
        team.sign("safety", read)
    assert told.value.reasons == ("revision 0 is invalidated, not with the reviewers",)
    with pytest.raises(NotUnderReview):
        revisions.send_back(team.live, ASSESSES, read, half="safety", comments="late")


# Two at once: each has read the same state when the other's event is stored.


def meanwhile(deed: Callable[[Team], Any], team: Team) -> Callable[..., Any]:
    """Let another process do something first, whenever the patched function is called for the first time."""
    pending = [deed]

    def wrap(honest: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **more: Any) -> Any:
            if pending:
                pending.pop()(opened(team.path, team.keys))
            return honest(*args, **more)

        return called

    return wrap


def test_of_two_who_put_up_at_once_one_is_told_who_was_first(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(revisions, "body", meanwhile(Team.put_up, team)(revisions.body))
    with pytest.raises(Overtaken, match=r"^FA-1 was first, at "):
        revisions.put_up(team.live, LEADS, "S30")
    assert len(team.now().records.revisions["S30"]) == 1


def test_of_two_who_put_up_the_next_revision_at_once_one_is_told(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    team.put_up()
    team.say("SEP1", "group:pt-301", "partly")
    monkeypatch.setattr(revisions, "body", meanwhile(Team.put_up, team)(revisions.body))
    with pytest.raises(Overtaken):
        team.put_up()
    assert [one.number for one in team.now().records.revisions["S30"]] == [0, 1]


def test_of_two_who_sign_one_half_at_once_one_is_told_and_one_stands(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    revision = team.put_up()
    monkeypatch.setattr(signatures, "sign", meanwhile(lambda other: other.sign("safety"), team)(signatures.sign))
    with pytest.raises(Overtaken, match=r"^IA-1 was first, at \d\d:\d\d:\d\d UTC\. Yours was not stored;"):
        team.sign("safety", revision)
    assert set(team.latest().signatures) == {"safety"}
    with pytest.raises(NotSigned, match="its safety half is signed already"):
        team.sign("safety", revision)


def test_both_halves_signed_at_once_both_stand(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    revision = team.put_up()
    monkeypatch.setattr(signatures, "sign", meanwhile(lambda other: other.sign("security"), team)(signatures.sign))
    team.sign("safety", revision)
    assert team.state() == (SIGNED, "revision 0: both halves")


def test_sent_back_and_signed_at_once_is_sent_back(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
    revision = team.put_up()

    def back(other: Team) -> None:
        revisions.send_back(other.live, REVIEWS, revision, half="security", comments="wait")

    monkeypatch.setattr(signatures, "sign", meanwhile(back, team)(signatures.sign))
    team.sign("safety", revision)
    assert team.state()[0] == SENT_BACK


def test_a_state_kept_in_step_is_the_one_read_anew_and_an_earlier_one_never_changes(team: Team) -> None:
    asked = ("SEP1", "group:pt-301")
    first = team.now()
    kept = (dict(first.records.revisions), dict(first.stored), list(first.assessment.answers))
    deeds: list[Callable[[], Any]] = [
        lambda: session.show(team.live, ANSWERS, asked, {**EVIDENCE, "valid_until": ahead(-1)}),
        lambda: session.dissent(team.live, ANSWERS, asked, DISSENT),
        team.put_up,
        lambda: team.say(*asked, "partly"),
        lambda: session.settle(team.live, ANSWERS, asked, who="TM-2", shown_by="photo 7"),
        team.put_up,
        lambda: team.withdraw("safety", 5),
        lambda: team.sign("safety"),
        lambda: team.change(team.now().plant.model_copy(update={"answers": []})),
        lambda: team.sign("security"),
    ]
    for deed in deeds:
        deed()
        now, anew = team.now(), team.on(DAY).now()
        assert now.records == anew.records
        assert now.stored == anew.stored
        assert now.replaced == anew.replaced
        assert (now.version, now.plant) == (anew.version, anew.plant)
        assert {(one.question, one.of): one for one in now.assessment.answers} == {
            (one.question, one.of): one for one in anew.assessment.answers
        }
    assert (dict(first.records.revisions), dict(first.stored), list(first.assessment.answers)) == kept
    assert team.state()[0] == SIGNED
