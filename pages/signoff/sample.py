"""The random sample of a signer: evidence first, then the answer, and a verdict with a remark on each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import streamlit as st

from checks.access import names
from checks.plantfile.plant import Asked
from checks.questions.bank import banks
from checks.signoff import sampling, signers
from checks.signoff.terms import VERDICTS, Verdict
from checks.state.live import State
from checks.state.revision_status import Revision
from pages.presentation.wording import ANSWERS, addressee, escaped
from pages.ui import state
from pages.ui.forms import Form, Told


@dataclass(frozen=True, slots=True)
class Sample:
    """The answers drawn so far for a signer, in ``turns`` turns."""

    turns: int
    answers: list[Asked]

    def verdicts(self, fields: Told) -> tuple[Verdict, ...]:
        """The verdicts given in the fields of the form; an answer without one is left out."""
        return tuple(
            Verdict(question, of, verdict, fields.get(f"remark {question} {of}") or "")
            for question, of in self.answers
            if (verdict := fields.get(f"verdict {question} {of}"))
        )


def draw(current: State, revision: Revision, fixed: dict[str, Any], half: str, form: Form) -> Sample:
    """Draw the sample of the signer: the evidence first, then what the team answered, with fields for the verdict.

    The fields belong to ``form``, with which the half is signed.
    """
    turns, reviewer = _turns(revision, half), state.person().name
    scoring = sampling.order(fixed, signers.banks_of(half, fixed), revision=revision.hash, who=reviewer)
    drawn = sampling.drawn(scoring, turns)
    st.markdown(
        f"**{len(drawn)} of {len(scoring)} scoring answers, drawn at random.** "
        "Check the evidence, open each answer, and give your verdict with a remark. Your signature lists them."
    )
    for number, answer in enumerate(drawn):
        question = banks().questions[answer["question"]]
        with st.container(border=True):
            st.caption(f"{escaped(answer['question'])} · {escaped(addressee(answer['of'], current.plant))}")
            st.markdown(escaped(question.text or question.title))
            _evidence(fixed, answer)
            with st.expander("What the team answered", key=f"answer_{half}_{number}"):
                by = f", by {escaped(answer['by'])}" if answer.get("by") else ""
                on = f" on {answer['on']}" if answer.get("on") else ""
                st.markdown(f"**{ANSWERS[answer['value']]}**{by}{on}")
                if answer.get("note"):
                    st.markdown(escaped(answer["note"]))
                name = f"{answer['question']} {answer['of']}"
                st.segmented_control(
                    "Your verdict", list(VERDICTS), key=form.key(f"verdict {name}"), format_func=VERDICTS.__getitem__
                )
                st.text_input("Your remark", key=form.key(f"remark {name}"), max_chars=500)
    if len(drawn) < len(scoring):
        key = _turns_key(revision, half)
        st.button("Draw another sample", key=f"again_{half}", on_click=state.put, args=(key, turns + 1))
    return Sample(turns, [(answer["question"], answer["of"]) for answer in drawn])


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
