"""Comments of a review: who begins one, who replies, and that they stay with their revision."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from checks.access.roles import ASSESSOR, MEMBER, REVIEWER, NotAllowed, Person
from checks.events.signoff.review_comment import Body
from checks.record_files import record_file, verification
from checks.signoff import independence, review_comments, revisions
from checks.state.revision_status import REVIEWED, SENT_BACK, SIGNED
from checks.text.faults import Refused
from checks.visibility import redaction
from tests.checks.team import ANSWERS, ASSESSES, LEADS, LOOKS_ON, OWNS, REVIEWS, Team


def _said(team: Team, number: int) -> list[tuple[int, str, str]]:
    """Depth, author and text of each comment on a revision of S30."""
    revision = team.now().records.revisions["S30"][number]
    threads = review_comments.in_threads(revision.thread)
    return [(depth, comment.cause.by, comment.text) for depth, comment in threads]


def test_a_thread_stays_with_its_revision_through_every_later_state(team: Team) -> None:
    first = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, first, half="security", text="  Which laptop?  ")
    answered = review_comments.reply(team.live, ANSWERS, first, to=asked.seq, text="The one of the workshop.")
    assert team.state()[0] == REVIEWED, "a comment does not end the review"
    revisions.send_back(team.live, ASSESSES, first, half="safety", comments="Which manifold?")
    assert team.state()[0] == SENT_BACK
    sent = team.count()
    review_comments.reply(team.live, LEADS, first, to=sent, text="The upper one.")
    review_comments.reply(team.live, REVIEWS, first, to=answered.seq, text="Then say so.")
    review_comments.reply(team.live, OWNS, first, to=asked.seq, text="It was replaced.")
    thread = [
        (0, "SR-1", "Which laptop?"),
        (1, "TM-1", "The one of the workshop."),
        (2, "SR-1", "Then say so."),
        (1, "OW-1", "It was replaced."),
        (0, "IA-1", "Which manifold?"),
        (1, "FA-1", "The upper one."),
    ]
    assert _said(team, 0) == thread
    assert [comment.half for comment in team.now().records.revisions["S30"][0].thread].count("security") == 4
    team.signed()
    assert team.state()[0] == SIGNED
    review_comments.comment(team.live, ASSESSES, team.latest(), half="safety", text="Well done.")
    assert team.state()[0] == SIGNED
    assert (_said(team, 0), _said(team, 1)) == (thread, [(0, "IA-1", "Well done.")])


def test_who_comments_on_a_review_takes_no_part_in_the_work_and_may_sign(team: Team) -> None:
    revision = team.put_up()
    asked = review_comments.comment(team.live, ASSESSES, revision, half="safety", text="Which manifold?")
    review_comments.reply(team.live, OWNS, revision, to=asked.seq, text="The upper one.")
    assert not Body.TAKES_PART
    assert not {"IA-1", "OW-1"} & set(independence.took_part(independence.deeds(team.live, revision)).values())
    team.sign("safety")
    team.sign("security")
    assert team.state()[0] == SIGNED


def test_a_record_holds_the_thread_and_verifies(team: Team) -> None:
    revision = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, revision, half="security", text="Which laptop?")
    review_comments.reply(team.live, ANSWERS, revision, to=asked.seq, text="The one of the workshop.")
    text = team.export()
    record = verification.verified(record_file.from_text("record", text))
    assert [comment.text for comment in record.records().revisions["S30"][0].thread] == [
        "Which laptop?",
        "The one of the workshop.",
    ]
    kept = [
        entry["body"] for entry in json.loads(text)["events"] if entry.get("event", {}).get("kind") == "review-comment"
    ]
    assert "reply_to" not in kept[0], "what was not given is not written"
    assert kept[1]["reply_to"] == asked.seq


@pytest.mark.parametrize("person", [LEADS, ANSWERS, OWNS, REVIEWS], ids=lambda person: person.name)
def test_only_the_reviewer_of_a_half_begins_a_comment_on_it(team: Team, person: Person) -> None:
    revision, before = team.put_up(), team.count()
    with pytest.raises(Refused, match=r"a reviewer begins a comment; reply to one|yours is the security half"):
        review_comments.comment(team.live, person, revision, half="safety", text="Which manifold?")
    assert team.count() == before
    both = Person("RV-1", frozenset({ASSESSOR, REVIEWER}))
    for half in ("safety", "security"):
        review_comments.comment(team.live, both, revision, half=half, text="Which manifold?")


@pytest.mark.parametrize(
    ("text", "fault"),
    [(" \n", "comment: missing; write the comment"), ("x" * 2001, "comment: .*2,?001.*2,?000")],
    ids=["empty", "long"],
)
def test_a_comment_says_something_in_at_most_2000_characters(team: Team, text: str, fault: str) -> None:
    revision = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, revision, half="security", text="x" * 2000)
    before = team.count()
    with pytest.raises(Refused, match=fault):
        review_comments.comment(team.live, REVIEWS, revision, half="security", text=text)
    with pytest.raises(Refused, match=fault):
        review_comments.reply(team.live, ANSWERS, revision, to=asked.seq, text=text)
    assert team.count() == before


def test_a_reply_is_to_a_comment_on_the_same_revision(team: Team) -> None:
    first = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, first, half="security", text="Which laptop?")
    revisions.send_back(team.live, ASSESSES, first, half="safety", comments="Which manifold?")
    second = team.put_up()
    for number in (asked.seq, second.cause.seq, 0):
        with pytest.raises(Refused, match=f"S30 has no comment {number} there; choose one of the list"):
            review_comments.reply(team.live, ANSWERS, second, to=number, text="The old one.")


def test_a_viewer_and_a_member_of_another_team_neither_comment_nor_see_a_comment(team: Team) -> None:
    revision = team.put_up()
    asked = review_comments.comment(team.live, REVIEWS, revision, half="security", text="Which laptop?")
    elsewhere = replace(ANSWERS, systems=frozenset({"S50"}))
    for person in (LOOKS_ON, elsewhere):
        with pytest.raises(NotAllowed):
            review_comments.reply(team.live, person, revision, to=asked.seq, text="The old one.")
        assert "Which laptop?" not in repr(redaction.seen(team.now(), person).records)
    own = Person("TM-3", frozenset({MEMBER}), systems=frozenset({"S30"}))
    review_comments.reply(team.live, own, revision, to=asked.seq, text="The old one.")
    assert "Which laptop?" in repr(redaction.seen(team.now(), own).records)
