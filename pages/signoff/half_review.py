"""Review of one half: what changed, a random sample of answers, then signing or sending back."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.access.similar_names import near
from checks.signoff import independence, revisions, statement
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from checks.text.number_format import measure, measure_name
from pages.cached import comparisons
from pages.presentation.wording import answers_differ, escaped
from pages.signoff import sample, signing
from pages.ui import frame, state
from pages.ui.forms import Form


def draw(live: Live, current: State, revision: Revision, fixed: dict[str, Any], half: str) -> None:
    """Draw the review of one half of a revision; ``fixed`` is the body of the revision."""
    st.markdown(f"### Review of the {half} half")
    _similar_names(live, revision)
    _changes(live, current, revision)
    form = Form(f"sign_{half}", revision.hash, outside=True)
    drawn = sample.draw(current, revision, fixed, half, form)
    review = signing.Review(revision, fixed, half, drawn, statement.never_answered(fixed, half))
    signing.draw(live, current, review, form)
    _send_back(live, revision, half)


def _similar_names(live: Live, revision: Revision) -> None:
    """Note where the name of somebody who took part reads like the signer's: only the signer knows whether it is theirs."""
    took_part = independence.took_part(independence.deeds(live, revision))
    similar = near(state.person().name, took_part.values())
    if similar:
        st.warning(
            f"{escaped(', '.join(similar))} took part in this assessment. Is that you? Then you cannot sign this half: "
            "a signer is independent of the work."
        )


def _changes(live: Live, current: State, revision: Revision) -> None:
    """Differences from the last signed revision."""
    signed = current.records.signed(revision.system)
    if signed is None:
        st.caption("No earlier revision of this system has both signatures, so everything is new.")
        return
    comparison = comparisons.compared(
        live, current, state.person(), revision.system, str(signed.number), str(revision.number)
    )
    affected = sum(bool(function.steps) for function in comparison.functions)
    st.markdown(
        f"**Changes since revision {signed.number} (last signed):** {answers_differ(comparison.answers)}, and "
        f"{len(comparison.data)} plant data; {affected} of {len(comparison.functions)} safety functions are affected."
    )
    for function in comparison.functions:
        old, new = function.old, function.new
        if old is not None and new is not None and function.steps:
            before, after = (measure(result.demand, result.cases.adjusted) for result in (old, new))
            st.markdown(
                f"- {escaped(function.id)}: {measure_name(new.demand)} with the cyber scenario {before} → {after}"
            )
    frame.link(
        "changed",
        "Show each change and its effect",
        system=revision.system,
        **{"from": str(signed.number), "to": str(revision.number)},
    )


def _send_back(live: Live, revision: Revision, half: str) -> None:
    st.markdown("**Send it back**")
    form = Form(f"back_{half}", revision.hash)
    with form.fields():
        st.text_area(
            "What needs rework", key=form.key("comments"), max_chars=2000, height=150,
            placeholder="The team sees this comment; the review of this revision ends",
        )  # fmt: skip
        form.button(
            "Send back to the team",
            lambda fields: revisions.send_back(live, state.person(), revision, half=half, comments=fields["comments"]),
            "The revision is sent back to the team.",
        )
