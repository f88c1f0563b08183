"""The review of one half: a sample of answers, evidence first; then signing or sending back."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.access import names
from checks.questions.bank import banks
from checks.signoff import revisions, sampling, sign_off, signatures, signers
from checks.signoff.sign_off import Terms
from checks.signoff.signatures import KeyRefused
from checks.state.entries import Revision
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name
from pages.presentation.wording import ANSWERS, addressee, plain
from pages.signoff import signature_coverage
from pages.ui import caches, frame, state
from pages.ui.forms import Form, Told


def draw(live: Live, now: State, revision: Revision, fixed: dict[str, Any], half: str) -> None:
    """Draw the review of one half of a revision."""
    st.markdown(f"### Review of the {half} half")
    _changed(live, now, revision)
    _sample(now, revision, fixed, half)
    covers = signature_coverage.draw(now, fixed, half)
    left, right = st.columns(2, gap="large")
    with left:
        _sign(live, revision, half, covers)
    with right:
        _send_back(live, revision, half)


def _changed(live: Live, now: State, revision: Revision) -> None:
    """What is otherwise than in the revision that was signed last."""
    signed = now.records.signed(revision.system)
    if signed is None:
        st.caption("No earlier revision of this system was signed by both halves: all of it is new.")
        return
    found = caches.compared(live, now, revision.system, str(signed.number), str(revision.number))
    st.markdown(
        f"**Since revision {signed.number}, signed last:** {len(found.answers)} answers and {len(found.data)} plant data "
        f"differ; {sum(bool(one.steps) for one in found.functions)} of {len(found.functions)} functions moved."
    )
    for one in found.functions:
        if one.old is not None and one.new is not None and one.steps:
            was, now_is = (measure(held.demand, held.cases.adjusted) for held in (one.old, one.new))
            st.markdown(f"- {plain(one.id)}: {measure_name(one.new.demand)} {was} → {now_is}")
    frame.lead(
        "changed",
        "See each fact and what it moved",
        system=revision.system,
        **{"from": str(signed.number), "to": str(revision.number)},
    )


def _sample(now: State, revision: Revision, fixed: dict[str, Any], half: str) -> None:
    turns, who = _turns(revision, half), state.person().name
    scoring = sampling.order(fixed, signers.HALVES[half], revision=revision.hash, who=who)
    picked = sampling.turn(scoring, turns)
    st.markdown(
        f"**{len(picked)} of {len(scoring)} scoring answers, drawn at random.** Evidence first; then the answer. What you sign names them."
    )
    for at, one in enumerate(picked):
        question = banks().every[one["question"]]
        with st.container(border=True):
            st.caption(f"{plain(one['question'])} · {plain(addressee(one['of'], now.plant))}")
            st.markdown(plain(question.text or question.title))
            _evidence(fixed, one)
            with st.expander("What the team answered", key=f"answer_{half}_{turns}_{at}"):
                by = f", by {plain(one['by'])}" if one.get("by") else ""
                on = f" on {one['on']}" if one.get("on") else ""
                st.markdown(f"**{ANSWERS[one['value']]}**{by}{on}")
                if one.get("note"):
                    st.markdown(plain(one["note"]))
    if sampling.turn(scoring, turns + 1):
        key = _drawn(revision, half)
        st.button("Draw another sample", key=f"again_{half}", on_click=state.put, args=(key, turns + 1))


def _drawn(revision: Revision, half: str) -> str:
    """Under which name it is kept how many samples this person has drawn."""
    return f"sample_{revision.hash}_{half}_{names.plain(state.person().name)}"


def _turns(revision: Revision, half: str) -> int:
    """How many samples of a half the person at this browser has drawn; the first is drawn for them."""
    return int(state.get(_drawn(revision, half), 1))


def _evidence(fixed: dict[str, Any], one: dict[str, Any]) -> None:
    told = [held for held in fixed["evidence"] if (held["question"], held["of"]) == (one["question"], one["of"])]
    for held in told:
        until = (
            f", valid until {held['valid_until'] or held['until_event']}"
            if held["valid_until"] or held["until_event"]
            else ""
        )
        st.markdown(
            f"- {plain(held['kind'])} **{plain(held['identifier'])}** {plain(held['revision'])} {plain(held['dated'])}: "
            f"{plain(held['shows'])} (strength {held['strength']} of 5{plain(until)})"
        )
    if one.get("evidence"):
        st.markdown(f"- {plain(one['evidence'])}")
    elif not told:
        st.markdown("- No evidence is named.")


def _sign(live: Live, revision: Revision, half: str, covers: dict[str, Any]) -> None:
    st.markdown("**Sign this half**")
    form = Form(f"sign_{half}", revision.hash)
    with st.form(form.name, border=False):
        st.text_area(
            "Independence", key=form.key("independence"), max_chars=2000, height=68,
            placeholder="Why you are independent of the team and of the design",
        )  # fmt: skip
        st.text_area(
            "Competence", key=form.key("competence"), max_chars=2000, height=68,
            placeholder="On what your competence for this review rests",
        )  # fmt: skip
        st.text_area(
            "Conditions, one a line (only for a conditional sign-off)",
            key=form.key("conditions"),
            max_chars=2000,
            height=68,
        )
        st.date_input("Last day of a conditional sign-off", value=None, key=form.key("until"), format="YYYY-MM-DD")
        st.file_uploader("Your key file", key=form.key("file"), type=["pem"])
        st.text_input("Passphrase of the key", key=form.key("phrase"), type="password")
        form.button(
            f"Sign the {half} half",
            lambda told: _signed(live, revision, half, told, covers),
            f"The {half} half is signed.",
            type="primary",
        )


def _signed(live: Live, revision: Revision, half: str, told: Told, covers: dict[str, Any]) -> object:
    if told["file"] is None:
        raise KeyRefused("no key file is chosen", "choose the one that you got when you made your key")
    terms = Terms(
        told["independence"],
        told["competence"],
        tuple(line for line in (told["conditions"] or "").splitlines() if line.strip()),
        told["until"].isoformat() if told["until"] else "",
        turns=_turns(revision, half),
        covers=covers,
    )
    private = signatures.unlock(told["file"].getvalue(), told["phrase"])
    return sign_off.sign(live, state.person(), revision, private, half=half, terms=terms)


def _send_back(live: Live, revision: Revision, half: str) -> None:
    st.markdown("**Send it back**")
    form = Form(f"back_{half}", revision.hash)
    with st.form(form.name, border=False):
        st.text_area(
            "What must be looked at again", key=form.key("comments"), max_chars=2000, height=150,
            placeholder="The team sees this; the revision is then no longer before the reviewers",
        )  # fmt: skip
        form.button(
            "Send back to the team",
            lambda told: revisions.send_back(live, state.person(), revision, half=half, comments=told["comments"]),
            "The revision is back with the team.",
        )
