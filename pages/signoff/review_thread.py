"""Comments of a review as a thread: those on the latest revision with a box for a reply, those on earlier ones folded."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.events.signoff import review_comment
from checks.signoff import review_comments
from checks.state.live import Live, State
from checks.state.revision_status import Comment, Revision
from pages.presentation.direction import isolated
from pages.presentation.wording import escaped
from pages.ui import state
from pages.ui.forms import Form, Told

BEGIN = "A new comment on the {} half"
DEEPEST = 4
"""Replies below this depth stand at it."""
MOST_QUOTED = 80
"""Characters of a comment in the list of those to reply to."""


def draw(live: Live, current: State, system: str, person: Person) -> None:
    """Draw the comments on the revisions of a system."""
    *earlier, latest = current.records.revisions[system]
    comments = person.may(review_comment.Body.PERMISSION)
    commented = [revision for revision in reversed(earlier) if revision.thread]
    begins = comments and bool(review_comments.halves(person))
    if not (latest.thread or commented or begins):
        return
    st.markdown("### Comments of the review")
    _thread(latest)
    if comments and (latest.thread or begins):
        _box(live, latest, person)
    if commented:
        fold = st.expander("Comments on earlier revisions", key="earlier_comments", on_change="rerun")
        if fold.open:
            with fold:
                for revision in commented:
                    st.markdown(f"**Revision {revision.number}**, submitted on {revision.cause.day}")
                    _thread(revision)


def _thread(revision: Revision) -> None:
    st.markdown(
        "\n".join(
            f"{'    ' * min(depth, DEEPEST)}- {_head(comment)}: {escaped(_line(comment))}"
            for depth, comment in review_comments.in_threads(revision.thread)
        )
    )


def _line(comment: Comment, most: int | None = None) -> str:
    """The text of a comment on one line, at most its beginning of ``most`` characters."""
    return isolated(" ".join(comment.text.split())[:most])


def _head(comment: Comment) -> str:
    """Author, day and half of a comment; the half once, at its beginning."""
    half = "" if comment.reply_to else f", {comment.half} half{', sent back' if comment.sends_back else ''}"
    return f"**{escaped(isolated(comment.cause.by) or 'somebody')}**, {comment.cause.day}{half}"


def _box(live: Live, revision: Revision, person: Person) -> None:
    """Draw the box for a reply, or for the comment of a reviewer on their half."""
    places: dict[int | str, str] = {half: BEGIN.format(half) for half in review_comments.halves(person)}
    for _, comment in review_comments.in_threads(revision.thread):
        by = isolated(comment.cause.by) or "somebody"
        places[comment.cause.seq] = f"Reply to {by}, {comment.cause.day}: {_line(comment, MOST_QUOTED)}"
    form = Form("comment", revision.hash)
    with form.fields():
        st.selectbox("Where to", list(places), key=form.key("to", places), format_func=places.__getitem__)
        st.text_area("Comment", key=form.key("text"), max_chars=2000, height=100)
        form.button("Send the comment", lambda fields: _sent(live, revision, fields), "The comment is recorded.")


def _sent(live: Live, revision: Revision, fields: Told) -> None:
    to, text = fields["to"], fields["text"] or ""
    if isinstance(to, int):
        review_comments.reply(live, state.person(), revision, to=to, text=text)
    else:
        review_comments.comment(live, state.person(), revision, half=to, text=text)
