"""Open actions by age: raise, close, drop, and the list that goes out to a spreadsheet and comes back."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pandas as pd
import streamlit as st

from checks.access.roles import Person
from checks.actions import action_list, actions, register
from checks.actions.action_updates import Proposed
from checks.events.plant.action import Action
from checks.plantfile.plant import Asked
from checks.record_files import exports
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.text.number_format import measure, measure_name
from pages.presentation.wording import ANSWERS, plain
from pages.ui import frame, state
from pages.ui.forms import Form, Told

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def draw(live: Live, now: State) -> None:
    """Draw the actions of the plant and what may be done with them."""
    person, under_way = state.person(), register.by_age(now)
    late = sum(actions.overdue(one, now.day) for one in under_way)
    st.markdown(f"### {len(under_way)} open action{'' if len(under_way) == 1 else 's'}, {late} overdue")
    st.caption("A number moves when an answer changes with evidence, never when an action is closed.")
    if under_way:
        rows = [_row(now, one) for one in under_way]
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="actions", alt="Open actions, the oldest first")
    if not person.may(Action.PERMISSION):
        return
    folded = st.expander("Raise, close or drop an action; lists", key="act", on_change="rerun")
    if not folded.open:
        return
    with folded:
        left, right = st.columns(2, gap="large")
        with left:
            _raise(live, now)
        with right:
            _end(live, now, under_way)
        _lists(live, now, person)


def _row(now: State, one: Action) -> dict[str, str]:
    moved = actions.expected_effect(one, now.assessment).moved
    best = moved[0] if moved else None
    effect = "moves no function by 1 % or more"
    if best is not None:
        then, was = measure(best.demand, best.then), measure(best.demand, best.now)
        effect = f"{best.function} {measure_name(best.demand)} {was} → {then}; {len(moved)} functions move"
    return {
        "Id": one.id,
        "What": one.what,
        "System": one.system or "",
        "Owner": one.owner,
        "Due": one.due.isoformat() + (" overdue" if actions.overdue(one, now.day) else ""),
        "Age, days": str(actions.age(one, now.day)),
        "State": "done, to be verified" if one.state == "done" else one.state,
        "If answered as hoped": effect,
        "Meanwhile": one.interim,
        "Questions": "; ".join(map(str, one.questions)),
    }


def _raise(live: Live, now: State) -> None:
    st.markdown("**Raise an action**")
    asked = {f"{question} of {of}": (question, of) for question, of in sorted(now.stored)}
    form = Form("raise")
    with st.form(form.name, border=False):
        st.text_input("What is to be done", key=form.key("what"), max_chars=2000)
        st.text_input("Owner", key=form.key("owner"), max_chars=200)
        st.date_input("Due", value=now.day + timedelta(days=90), key=form.key("due"), format="YYYY-MM-DD")
        st.selectbox(
            "Safety system", list(now.systems), index=None, key=form.key("system", now.systems), placeholder="None"
        )
        st.multiselect("Answers that it shall better", list(asked), key=form.key("asked", asked))
        st.selectbox("Hoped-for answer", list(ANSWERS), key=form.key("answer_to"), format_func=ANSWERS.__getitem__)
        st.text_input("What is done meanwhile", key=form.key("interim"), max_chars=2000)
        st.text_input("Change reference", key=form.key("change"), max_chars=200)
        form.button(
            "Raise it",
            lambda told: register.raise_one(
                live, state.person(), _fields(now, told, [asked[one] for one in told["asked"]])
            ),
            "The action is raised.",
        )


def _fields(now: State, told: Told, which: list[Asked]) -> dict[str, Any]:
    """Fields of an action as its form holds them."""
    held = [now.stored[one].answer.value for one in which]
    if told["due"] is None:
        raise Refused("action", [Fault("due", "missing", "the day by which it is done")])
    return {
        **{name: told[name] for name in ("what", "system", "owner", "due", "answer_to", "interim", "change")},
        "questions": [{"question": question, "of": of} for question, of in which],
        "answer_from": held[0] if held else "unknown",
    }


def _end(live: Live, now: State, under_way: list[Action]) -> None:
    st.markdown("**Close or drop an action**")
    again = [one for one in under_way if one.state == "done"] + register.by_age(now, ended=True)
    ended = {one.id: f"{one.id} {one.what}" for one in again}
    names = {one.id: f"{one.id} {one.what}" for one in under_way}
    if names:
        form = Form("end")
        with st.form(form.name, border=False):
            st.selectbox("Action", list(names), key=form.key("action", names), format_func=names.__getitem__)
            st.text_input("Evidence that it is done, or why it is dropped", key=form.key("evidence"), max_chars=2000)
            st.text_input("Verified by (not its owner)", key=form.key("verifier"), max_chars=200)
            form.button(
                "Close it",
                lambda told: register.close(
                    live, state.person(), told["action"], evidence=told["evidence"], verifier=told["verifier"]
                ),
                "The action is closed. Take up its answers again in their sessions.",
            )
            form.button(
                "Done, to be verified",
                lambda told: register.done(live, state.person(), told["action"], evidence=told["evidence"]),
                "The action is said to be done; it stays on the list until somebody verifies and closes it.",
            )
            form.button(
                "Drop it",
                lambda told: register.drop(live, state.person(), told["action"], reason=told["evidence"]),
                "The action is dropped.",
            )
    if ended:
        form = Form("reopen")
        with st.form(form.name, border=False):
            st.selectbox(
                "Done or ended action", list(ended), key=form.key("action", ended), format_func=ended.__getitem__
            )
            form.button(
                "Open it again",
                lambda told: register.reopen(live, state.person(), told["action"]),
                "The action is open again.",
            )


def _lists(live: Live, now: State, person: Person) -> None:
    st.markdown("**Lists**")
    every = list(register.held(now).values())
    row = st.container(horizontal=True)
    with row:
        frame.download(
            "Download the actions (XLSX)",
            lambda: action_list.to_xlsx(every, now.assessment, today=now.day),
            lambda: exports.handed_out(live, person, "actions, XLSX", needs="see gap detail"),
            file_name="actions.xlsx",
            mime=XLSX,
        )
        frame.download(
            "Download the actions (CSV)",
            lambda: action_list.to_csv(every, now.assessment, today=now.day),
            lambda: exports.handed_out(live, person, "actions, CSV", needs="see gap detail"),
            file_name="actions.csv",
            mime="text/csv",
        )
    form = Form("take_over", outside=True)
    handed = st.file_uploader("Take an edited list back (XLSX or CSV)", type=["xlsx", "csv"], key=form.key("list"))
    if handed is None:
        return
    read = action_list.read_xlsx if handed.name.lower().endswith(".xlsx") else action_list.read_csv
    try:
        proposed = read(handed.getvalue(), register.to_read_against(now, person), name=handed.name)
    except Refused as refused:
        st.error(f"Nothing was taken: {len(refused.faults)} faults in the list.")
        st.code("\n".join(refused.lines()), language=None, wrap_lines=True)
        return
    _proposed(live, form, proposed)


def _proposed(live: Live, form: Form, proposed: Proposed) -> None:
    st.markdown(
        f"{len(proposed.updates)} actions change, {len(proposed.new)} are new, {proposed.unchanged} stay as they are."
    )
    said = [
        f"- {one.before.id}: "
        + "; ".join(f"{name} {getattr(one.before, name)} → {getattr(one.after, name)}" for name in one.fields)
        for one in proposed.updates
    ] + [f"- new: {one.what}" for one in proposed.new]
    st.markdown("\n".join("- " + plain(one.removeprefix("- ")) for one in said))
    if said:
        form.button(
            "Take these over",
            lambda _: register.take_over(live, state.person(), proposed),
            "The list is taken over.",
            type="primary",
        )
