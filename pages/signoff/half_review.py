"""Review of one half: a random sample of answers, evidence first; then signing or sending back."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.access import names
from checks.questions.bank import banks
from checks.signoff import revisions, sampling, sign_off, signatures, signers
from checks.signoff.sign_off import Terms
from checks.signoff.signatures import KeyRefused
from checks.state.live import Live, State
from checks.state.revision_status import Revision
from checks.text.number_format import measure, measure_name
from pages.presentation.wording import ANSWERS, addressee, escaped
from pages.signoff import signature_coverage
from pages.ui import caches, frame, state
from pages.ui.forms import Form, Told


def draw(live: Live, current: State, revision: Revision, fixed: dict[str, Any], half: str) -> None:
    """Draw the review of one half of a revision; ``fixed`` is the body of the revision."""
    st.markdown(f"### Review of the {half} half")
    _changes(live, current, revision)
    _sample(current, revision, fixed, half)
    covers = signature_coverage.draw(current, fixed, half)
    left, right = st.columns(2, gap="large")
    with left:
        _sign(live, revision, half, covers)
    with right:
        _send_back(live, revision, half)


def _changes(live: Live, current: State, revision: Revision) -> None:
    """Differences from the last signed revision."""
    signed = current.records.signed(revision.system)
    if signed is None:
        st.caption("No earlier revision of this system has both signatures, so everything is new.")
        return
    comparison = caches.compared(live, current, revision.system, str(signed.number), str(revision.number))
    affected = sum(bool(function.steps) for function in comparison.functions)
    st.markdown(
        f"**Changes since revision {signed.number} (last signed):** {len(comparison.answers)} answers and "
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


def _sample(current: State, revision: Revision, fixed: dict[str, Any], half: str) -> None:
    turns, reviewer = _turns(revision, half), state.person().name
    scoring = sampling.order(fixed, signers.HALVES[half], revision=revision.hash, who=reviewer)
    sample = sampling.turn(scoring, turns)
    st.markdown(
        f"**{len(sample)} of {len(scoring)} scoring answers, drawn at random.** "
        "Check the evidence, then open the answer. Your signature lists the sample."
    )
    for number, answer in enumerate(sample):
        question = banks().questions[answer["question"]]
        with st.container(border=True):
            st.caption(f"{escaped(answer['question'])} · {escaped(addressee(answer['of'], current.plant))}")
            st.markdown(escaped(question.text or question.title))
            _evidence(fixed, answer)
            with st.expander("What the team answered", key=f"answer_{half}_{turns}_{number}"):
                by = f", by {escaped(answer['by'])}" if answer.get("by") else ""
                on = f" on {answer['on']}" if answer.get("on") else ""
                st.markdown(f"**{ANSWERS[answer['value']]}**{by}{on}")
                if answer.get("note"):
                    st.markdown(escaped(answer["note"]))
    if sampling.turn(scoring, turns + 1):
        key = _turns_key(revision, half)
        st.button("Draw another sample", key=f"again_{half}", on_click=state.put, args=(key, turns + 1))


def _turns_key(revision: Revision, half: str) -> str:
    """Session key of the number of samples that this person has drawn."""
    return f"sample_{revision.hash}_{half}_{names.comparable(state.person().name)}"


def _turns(revision: Revision, half: str) -> int:
    """Number of samples of a half that this person has drawn; the first is drawn for them."""
    return int(state.get(_turns_key(revision, half), 1))


def _evidence(fixed: dict[str, Any], answer: dict[str, Any]) -> None:
    asked = (answer["question"], answer["of"])
    recorded = [item for item in fixed["evidence"] if (item["question"], item["of"]) == asked]
    for item in recorded:
        end = item["valid_until"] or item["until_event"]
        until = f", valid until {end}" if end else ""
        st.markdown(
            f"- {escaped(item['kind'])} **{escaped(item['identifier'])}** {escaped(item['revision'])} {escaped(item['dated'])}: "
            f"{escaped(item['shows'])} (strength {item['strength']} of 5{escaped(until)})"
        )
    if answer.get("evidence"):
        st.markdown(f"- {escaped(answer['evidence'])}")
    elif not recorded:
        st.markdown("- No evidence given.")


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
            placeholder="Basis of your competence for this review",
        )  # fmt: skip
        st.text_area(
            "Conditions, one per line (conditional sign-off only)",
            key=form.key("conditions"),
            max_chars=2000,
            height=68,
        )
        st.date_input("Conditional sign-off valid until", value=None, key=form.key("until"), format="YYYY-MM-DD")
        st.file_uploader("Your key file", key=form.key("file"), type=["pem"])
        st.text_input("Passphrase of the key", key=form.key("phrase"), type="password")
        form.button(
            f"Sign the {half} half",
            lambda fields: _signed(live, revision, half, fields, covers),
            f"The {half} half is signed.",
            type="primary",
        )


def _signed(live: Live, revision: Revision, half: str, fields: Told, covers: dict[str, Any]) -> object:
    """Sign the half; raises KeyRefused and what ``sign_off.sign`` raises."""
    if fields["file"] is None:
        raise KeyRefused("no key file is selected", "select the file that you downloaded when you created your key")
    terms = Terms(
        fields["independence"],
        fields["competence"],
        tuple(line for line in (fields["conditions"] or "").splitlines() if line.strip()),
        fields["until"].isoformat() if fields["until"] else "",
        turns=_turns(revision, half),
        covers=covers,
    )
    file = fields["file"].getvalue()
    private = signatures.unlock(file, fields["phrase"])
    state.put("key hint", signatures.hint(file))
    return sign_off.sign(live, state.person(), revision, private, half=half, terms=terms)


def _send_back(live: Live, revision: Revision, half: str) -> None:
    st.markdown("**Send it back**")
    form = Form(f"back_{half}", revision.hash)
    with st.form(form.name, border=False):
        st.text_area(
            "What needs rework", key=form.key("comments"), max_chars=2000, height=150,
            placeholder="The team sees this comment; the review of this revision ends",
        )  # fmt: skip
        form.button(
            "Send back to the team",
            lambda fields: revisions.send_back(live, state.person(), revision, half=half, comments=fields["comments"]),
            "The revision is sent back to the team.",
        )
