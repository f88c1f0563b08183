"""Sign-off: status of a system's assessment, what is open before signing, the review, and the signatures."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.access.roles import HALF_OF, Person
from checks.revision.basis import scope
from checks.signoff import open_points, signers
from checks.signoff.revisions import body, fixed_body, nothing_new, submit, system_standing
from checks.state import late_entries
from checks.state.live import Live, State
from checks.state.revision_status import REVIEWED, SIGNED, Revision
from checks.state.standing import of_revision
from pages.presentation.wording import covers, escaped, titled
from pages.signoff import accepted_gaps, beside_figures, exports, half_review, keys, review_thread, statements
from pages.ui import attendance, frame, places, state, tables
from pages.ui.forms import Form

HALVES = {"safety": "Safety half", "security": "Security half"}


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, system.name) for key, system in current.systems.items()}
    if not names:
        frame.nothing_to_choose(current, "safety system")
        return
    system = places.choose("Safety system", "system", names)
    standing = system_standing(current, system)
    status, reason = standing.state, standing.why
    st.markdown(f"## {escaped(system)} is {standing.words}")
    st.markdown(f"{escaped(reason[:1].upper() + reason[1:])}.")
    frame.method_note(current)
    person, revision = state.person(), current.records.latest(system)
    under_review = revision is not None and status == REVIEWED
    valid = under_review or status == SIGNED
    beside_figures.draw(live, current, system, str(revision.number) if revision and valid else "now")
    fixed = fixed_body(live, revision) if revision and valid else body(live.state(), system)
    _open_before_signing(current, fixed, revision if valid else None)
    if not under_review:
        _submit(live, current, person, system)
    elif revision is not None:
        for role, half in HALF_OF.items():
            if role in person.roles:
                half_review.draw(live, current, revision, fixed, half)
        if not person.roles & set(HALF_OF):
            st.caption(
                "To review and sign, select the role independent assessor or security reviewer at the top right."
            )
    if revision is not None:
        review_thread.draw(live, current, system, person)
    if person.may("record attendance"):
        attendance.draw(live, current, system)
    if person.may("accept a residual risk"):
        accepted_gaps.draw(live, current, system)
    keys.draw(live, current, person)
    _history(live, current, system, person)


def _open_before_signing(current: State, fixed: dict[str, Any], revision: Revision | None) -> None:
    for column, (half, label) in zip(st.columns(2, gap="large"), HALVES.items(), strict=True):
        with column:
            st.markdown(f"### {label}")
            st.caption(
                f"Signed by the {signers.signer_of(half)}, who must be independent of the work: someone who gave or "
                "confirmed no answer, recorded no evidence, dissent, change or failure, entered no plant data, attended or "
                "led no session, submitted no revision, verified no action and accepted no residual risk."
            )
            if revision is not None and half in current.records.counting(revision):
                signature = revision.signatures[half]
                st.markdown(f"Signed by **{escaped(signature.statement['signer'])}** on {signature.cause.day}.")
                st.markdown(f"- covers, in addition to the revision: {escaped(covers(signature))}")
                for condition in signature.conditions:
                    st.markdown(f"- condition, until {signature.until}: {escaped(condition)}")
                continue
            points = open_points.lacking(current, fixed, half)
            st.markdown("Open before signing:" if points else "Nothing is open before signing.")
            st.markdown("\n".join(f"- {escaped(point)}" for point in points))


def _submit(live: Live, current: State, person: Person, system: str) -> None:
    last = current.records.latest(system)
    if last is not None and nothing_new(current, last):
        st.caption(
            "The sign-off is valid. A change to an answer or to plant data invalidates it; "
            "the system can then be submitted for review again."
        )
        return
    Form("submit", system, outside=True).button(
        "Submit for review",
        lambda _: submit(live, state.person(), system),
        "The revision is submitted to the reviewers.",
        type="primary",
        help="Freezes plant data, answers and all results as the next revision",
        disabled=not person.may("submit for review"),
    )
    if not person.may("submit for review"):
        st.caption("The facilitator submits it for review.")


def _history(live: Live, current: State, system: str, person: Person) -> None:
    revisions = current.records.revisions.get(system, ())
    if not revisions:
        return
    st.markdown("### Revisions")
    rows = []
    for revision in reversed(revisions):
        banks = current.assessment.editions.bank_scores
        standing = of_revision(current.records, revision, current.day, banks)
        signatures = "; ".join(
            f"{half}: {signature.statement['signer']}, {signature.cause.day}"
            for half, signature in revision.signatures.items()
        )
        rows.append(
            {
                "Revision": str(revision.number),
                "Submitted on": revision.cause.day,
                "Submitted by": revision.cause.by or "somebody",
                "Standing": standing.words,
                "Reason": standing.why,
                "Signatures": signatures,
                "SHA-256": revision.hash,
            }
        )
    tables.table(rows, key="revisions", alt=f"Revisions of {system}")
    events = live.store.events(live.key, kinds=late_entries.KINDS)
    addressees = scope(current.plant, current.assessment.links, system).addressees
    for flag in late_entries.after_signature(events, system, addressees):
        st.warning(f"{escaped(flag)}.")
    statements.draw(live, revisions[-1], person)
    if person.may("export a record"):
        exports.draw(live, current, system, person)


page = frame.screen(_draw, needs="see evidence", place="system")
