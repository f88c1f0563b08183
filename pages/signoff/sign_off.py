"""Sign-off: where a system's assessment stands, what is in the way, the review itself, and its signatures."""

from __future__ import annotations

from typing import Any

import pandas as pd
import streamlit as st

from checks.access import roles
from checks.access.roles import HALF_OF, Person
from checks.signoff import open_points, signers
from checks.signoff.revisions import body, fixed_body, put_up, state_of
from checks.state.entries import REVIEWED, SIGNED, Revision
from checks.state.live import Live, State
from pages.presentation.wording import covers, plain, titled
from pages.signoff import accepted_gaps, attendance, exports, half_review, keys
from pages.ui import frame, state
from pages.ui.forms import Form

HALVES = {"safety": "Safety half", "security": "Security half"}


def _draw(live: Live, now: State) -> None:
    names = {key: titled(key, one.name) for key, one in now.systems.items()}
    if not names:
        frame.nothing(now, "safety system")
        return
    system = frame.choose("Safety system", "system", names)
    standing, why = state_of(now, system)
    st.markdown(f"## {plain(system)} is {standing}")
    st.markdown(f"{plain(why[:1].upper() + why[1:])}.")
    frame.rule(now)
    person, revision = state.person(), now.records.latest(system)
    under_review = revision is not None and standing == REVIEWED
    stands = under_review or standing == SIGNED
    fixed = fixed_body(live, revision) if revision and stands else body(live.state(), system)
    _in_the_way(now, fixed, revision if stands else None)
    if not under_review:
        _put_up(live, person, system, standing)
    elif revision is not None:
        for role, half in HALF_OF.items():
            if role in person.roles:
                half_review.draw(live, now, revision, fixed, half)
        if not person.roles & set(HALF_OF):
            st.caption("To review and sign it, act as independent assessor or security reviewer (at the top right).")
    if person.may("record who attended"):
        attendance.draw(live, now, system)
    if roles.OWNER in person.roles:
        accepted_gaps.draw(live, now, system)
    keys.draw(live, now, person)
    _history(live, now, system, person)


def _in_the_way(now: State, fixed: dict[str, Any], revision: Revision | None) -> None:
    for column, (half, label) in zip(st.columns(2, gap="large"), HALVES.items(), strict=True):
        with column:
            st.markdown(f"### {label}")
            st.caption(
                f"Signed by the {signers.signer_of(half)}, who must have had no hand in it: no answer, no attendance, no lead."
            )
            if revision is not None and half in now.records.counting(revision):
                one = revision.signatures[half]
                st.markdown(f"Signed by **{plain(one.statement['signer'])}** on {one.cause.day}.")
                st.markdown(f"- covers, beside the revision: {plain(covers(one))}")
                for condition in one.conditions:
                    st.markdown(f"- on condition, until {one.until}: {plain(condition)}")
                continue
            lacking = open_points.lacking(now, fixed, half)
            st.markdown("In the way of a signature:" if lacking else "Nothing stands in the way of a signature.")
            st.markdown("\n".join(f"- {plain(one)}" for one in lacking))


def _put_up(live: Live, person: Person, system: str, standing: str) -> None:
    told = "Put up for review: fixes plant data, answers and every result as the next revision"
    if standing == SIGNED:
        st.caption(
            "It is signed and stands. A changed answer or plant datum will void it; then it can be put up again."
        )
        return
    Form("put_up", system, outside=True).button(
        "Put up for review",
        lambda _: put_up(live, state.person(), system),
        "The revision is fixed and with the reviewers.",
        type="primary",
        help=told,
        disabled=not person.may("put up for review"),
    )
    if not person.may("put up for review"):
        st.caption("The facilitator puts it up for review.")


def _history(live: Live, now: State, system: str, person: Person) -> None:
    revisions = now.records.revisions.get(system, ())
    if not revisions:
        return
    st.markdown("### Revisions")
    rows = []
    for one in reversed(revisions):
        standing, why = now.records.state(one, now.day, now.assessment.editions.bank_scores)
        signed = "; ".join(
            f"{half}: {held.statement['signer']}, {held.cause.day}" for half, held in one.signatures.items()
        )
        rows.append(
            {
                "Revision": str(one.number),
                "Fixed on": one.cause.day,
                "By": one.cause.by or "somebody",
                "State": standing,
                "Why": why,
                "Signatures": signed,
                "SHA-256": one.hash,
            }
        )
    st.dataframe(pd.DataFrame(rows), hide_index=True, key="revisions", alt=f"Revisions of {system}")
    if person.may("export a record"):
        exports.draw(live, now, system, person)


page = frame.screen(_draw, needs="see evidence")
