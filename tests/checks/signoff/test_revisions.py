"""States of a revision from first answers to signed and superseded, and two people acting at the same time."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from checks.journal.errors import Overtaken
from checks.recording import answer_records
from checks.signoff import revisions, signatures
from checks.signoff.revisions import NothingNew, NotUnderReview
from checks.signoff.sign_off import NotSigned
from checks.state.revision_status import ANSWERING, FOLLOWED, REVIEWED, SENT_BACK, SIGNED, VOID
from checks.text.faults import Refused
from tests.checks.team import ANSWERS, ASSESSES, DAY, DISSENT, EVIDENCE, LEADS, REVIEWS, Team, ahead, opened


def test_a_system_is_in_progress_until_it_is_submitted(team: Team) -> None:
    assert team.state() == (ANSWERING, "never submitted for review")
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


def test_a_revision_is_numbered_from_zero_and_fixes_its_facts(team: Team) -> None:
    revision = team.put_up()
    fixed = revisions.fixed_body(team.live, revision)
    assert (revision.number, fixed["number"], fixed["system"], fixed["plant"]) == (0, 0, "S30", "Quillmarch Works")
    assert fixed["journal"] == {"events": 126, "head": team.store.head(1, 126)}, "plant data, 123 answers, two keys"


def test_the_same_facts_are_not_submitted_twice(team: Team) -> None:
    team.put_up()
    before = team.count()
    with pytest.raises(NothingNew, match=r"^revision 0 of S30 has the same facts and is valid; "):
        team.put_up()
    team.sign("safety")
    team.sign("security")
    with pytest.raises(NothingNew):
        team.put_up()
    assert team.count() == before + 2


def test_a_revision_is_sent_back_with_comments_and_submitted_again(team: Team) -> None:
    revision = team.put_up()
    revisions.send_back(team.live, REVIEWS, revision, half="security", comments="  Which laptop?  ")
    assert team.state() == (SENT_BACK, f"revision 0: SR-1, {DAY}: Which laptop?")
    with pytest.raises(NotSigned, match="revision 0 is sent back, not under review"):
        team.sign("safety", revision)
    with pytest.raises(NotUnderReview, match=r"^revision 0 of S30 is sent back; see the latest one$"):
        revisions.send_back(team.live, ASSESSES, revision, half="safety", comments="And which valve?")
    assert team.put_up().number == 1
    assert team.state()[0] == REVIEWED


@pytest.mark.parametrize(
    ("half", "comments", "line"),
    [
        ("security", " \n", "sent back: comments: missing; say what needs rework"),
        ("safety", "no", "sent back: half: found 'safety'; yours is the security half"),
        ("both", "no", "sent back: half: found 'both'; yours is the security half"),
    ],
)
def test_sending_back_needs_comments_and_the_reviewers_own_half(
    team: Team, half: str, comments: str, line: str
) -> None:
    revision = team.put_up()
    with pytest.raises(Refused) as refused:
        revisions.send_back(team.live, REVIEWS, revision, half=half, comments=comments)
    assert refused.value.lines() == [line]
    assert team.state()[0] == REVIEWED


def test_a_signed_revision_is_superseded_when_both_halves_of_a_later_one_are_signed(team: Team) -> None:
    first = team.signed()
    team.say("SEP1", "group:pt-301", "partly")
    second = team.put_up()
    assert revisions.status_of(team.now(), first) == VOID
    team.sign("safety")
    assert revisions.status_of(team.now(), first) == VOID
    team.sign("security")
    assert revisions.status_of(team.now(), first) == FOLLOWED
    assert revisions.status_of(team.now(), second) == SIGNED


def test_a_half_signed_revision_is_never_superseded(team: Team) -> None:
    first = team.put_up()
    team.sign("safety", first)
    team.say("SEP1", "group:pt-301", "partly")
    second = team.signed()
    assert revisions.status_of(team.now(), second) == SIGNED
    assert revisions.status_of(team.now(), first) == VOID


def test_a_later_revision_with_an_invalid_signature_supersedes_nothing(team: Team) -> None:
    """A withdrawn key makes the later revision incomplete, so the earlier one is invalidated as before, not superseded."""
    first = team.signed()
    team.say("SEP1", "group:pt-301", "partly")
    later = team.on(DAY + timedelta(days=5))
    later.signed()
    assert revisions.status_of(later.now(), first) == FOLLOWED
    later.withdraw("safety", 5)
    assert revisions.status_of(later.now(), first) == VOID
    signed = later.now().records.signed(first.system)
    assert signed is not None
    assert signed.number == first.number


def test_a_conditional_sign_off_ends_after_its_end_date(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(20))
    team.sign("security", conditions=("mode switch locked",), until=ahead(10))
    assert team.state() == (SIGNED, f"revision 0: with conditions, until {ahead(10)}")
    assert team.on(DAY + timedelta(days=10)).state()[0] == SIGNED
    later = team.on(DAY + timedelta(days=11))
    assert later.state() == (VOID, f"revision 0: the conditions of its sign-off ended on {ahead(10)}")
    assert later.put_up().number == 1


def test_conditions_that_ended_before_the_second_signature_invalidate_the_revision_too(team: Team) -> None:
    team.put_up()
    team.sign("safety", conditions=("weekly comparison",), until=ahead(1))
    later = team.on(DAY + timedelta(days=2))
    assert later.state()[0] == VOID
    with pytest.raises(NotSigned, match="revision 0 is void, not under review"):
        later.sign("security")


def test_a_revision_invalidated_while_a_signer_reads_it_cannot_be_signed(team: Team) -> None:
    read = team.put_up()
    team.say("SEP1", "group:pt-301", "partly")
    with pytest.raises(NotSigned) as error:
        team.sign("safety", read)
    assert error.value.reasons == ("revision 0 is void, not under review",)
    with pytest.raises(NotUnderReview):
        revisions.send_back(team.live, ASSESSES, read, half="safety", comments="late")


# Two at once: each has read the same state when the other's event is stored.


def meanwhile(deed: Callable[[Team], Any], team: Team) -> Callable[..., Any]:
    """Let another process act first when the patched function is called for the first time."""
    pending = [deed]

    def wrap(honest: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **options: Any) -> Any:
            if pending:
                pending.pop()(opened(team.path, team.keys))
            return honest(*args, **options)

        return called

    return wrap


def test_of_two_submissions_at_once_the_second_learns_who_was_first(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(revisions, "body", meanwhile(Team.put_up, team)(revisions.body))
    with pytest.raises(Overtaken, match=r"^FA-1 was first, at "):
        revisions.submit(team.live, LEADS, "S30")
    assert len(team.now().records.revisions["S30"]) == 1


def test_of_two_submissions_of_the_next_revision_at_once_one_is_refused(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    team.put_up()
    team.say("SEP1", "group:pt-301", "partly")
    monkeypatch.setattr(revisions, "body", meanwhile(Team.put_up, team)(revisions.body))
    with pytest.raises(Overtaken):
        team.put_up()
    assert [revision.number for revision in team.now().records.revisions["S30"]] == [0, 1]


def test_of_two_signatures_of_one_half_at_once_one_is_stored_and_one_refused(
    team: Team, monkeypatch: pytest.MonkeyPatch
) -> None:
    revision = team.put_up()
    monkeypatch.setattr(signatures, "sign", meanwhile(lambda other: other.sign("safety"), team)(signatures.sign))
    with pytest.raises(Overtaken, match=r"^IA-1 was first, at \d\d:\d\d:\d\d UTC\. Yours was not stored;"):
        team.sign("safety", revision)
    assert set(team.latest().signatures) == {"safety"}
    with pytest.raises(NotSigned, match="its safety half is signed already"):
        team.sign("safety", revision)


def test_both_halves_signed_at_once_are_both_stored(team: Team, monkeypatch: pytest.MonkeyPatch) -> None:
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


def test_an_updated_state_equals_one_read_again_and_an_earlier_one_never_changes(team: Team) -> None:
    asked = ("SEP1", "group:pt-301")
    first = team.now()
    copies = (dict(first.records.revisions), dict(first.stored), list(first.assessment.answers))
    deeds: list[Callable[[], Any]] = [
        lambda: answer_records.add_evidence(team.live, ANSWERS, asked, {**EVIDENCE, "valid_until": ahead(-1)}),
        lambda: answer_records.record_dissent(team.live, ANSWERS, asked, DISSENT),
        team.put_up,
        lambda: team.say(*asked, "partly"),
        lambda: answer_records.close_dissent(team.live, ANSWERS, asked, who="TM-2", shown_by="photo 7"),
        team.put_up,
        lambda: team.withdraw("safety", 5),
        lambda: team.sign("safety"),
        lambda: team.change(team.now().plant.model_copy(update={"answers": []})),
        lambda: team.sign("security"),
    ]
    for deed in deeds:
        deed()
        state, read_again = team.now(), team.on(DAY).now()
        assert state.records == read_again.records
        assert state.stored == read_again.stored
        assert state.replaced == read_again.replaced
        assert (state.version, state.plant) == (read_again.version, read_again.plant)
        assert {(answer.question, answer.of): answer for answer in state.assessment.answers} == {
            (answer.question, answer.of): answer for answer in read_again.assessment.answers
        }
    assert (dict(first.records.revisions), dict(first.stored), list(first.assessment.answers)) == copies
    assert team.state()[0] == SIGNED
