"""Open actions by age: raise, close, drop, reopen, export to a spreadsheet and import the edited list."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import streamlit as st

from checks.access.roles import Person
from checks.actions import action_list, action_rules, recorded_actions
from checks.actions.action_updates import Proposed
from checks.events.plant.action import Action
from checks.plantfile.plant import Asked
from checks.record_files import exports
from checks.revision.basis import Scope
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.text.number_format import measure, measure_name
from pages.presentation.wording import ANSWERS, counted, escaped
from pages.ui import frame, state, tables
from pages.ui.forms import Form, Told

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def draw(live: Live, current: State, scope: Scope | None) -> None:
    """Draw the open actions of the plant, or of a system, and the forms to change actions of the plant."""
    person, open_actions = state.person(), recorded_actions.by_age(current)
    if scope is not None:
        open_actions = [action for action in open_actions if action.concerns(scope.system, scope.addressees)]
    overdue = [action for action in open_actions if action_rules.overdue(action, current.day)]
    st.markdown(f"### {counted(len(open_actions), 'open action')}, {len(overdue)} overdue")
    st.caption("Closing an action changes no result: results change when an answer changes, with evidence.")
    first = overdue or open_actions
    if first:
        tables.table([_row(current, action) for action in first], key="actions", alt="Open actions, the oldest first")
    if len(first) < len(open_actions):
        folded = st.expander("Open actions that are not overdue", key="not_overdue", on_change="rerun")
        if folded.open:
            with folded:
                rest = [_row(current, action) for action in open_actions if action not in overdue]
                tables.table(rest, key="actions_rest", alt="Actions that are not overdue")
    if not person.may(Action.PERMISSION):
        return
    folded = st.expander("Raise, close or drop an action; import and export", key="act", on_change="rerun")
    if not folded.open:
        return
    with folded:
        left, right = st.columns(2, gap="large")
        with left:
            _raise(live, current)
        with right:
            _end(live, current, open_actions)
        _import_and_export(live, current, person)


def _row(current: State, action: Action) -> dict[str, str]:
    moved = action_rules.expected_effect(action, current.assessment).moved
    best = moved[0] if moved else None
    effect = "changes no safety function by 1 % or more"
    if best is not None:
        before, after = measure(best.demand, best.now), measure(best.demand, best.then)
        effect = (
            f"{best.function} {measure_name(best.demand)} {before} → {after}; "
            f"changes {counted(len(moved), 'safety function')}"
        )
    return {
        "Id": action.id,
        "Action": action.what,
        "System": action.system or "",
        "Action owner": action.owner,
        "Due": action.due.isoformat() + (" overdue" if action_rules.overdue(action, current.day) else ""),
        "Age, days": str(action_rules.age(action, current.day)),
        "Status": "done, to be verified" if action.state == "done" else action.state,
        "Expected effect": effect,
        "Interim measure": action.interim,
        "Questions": "; ".join(map(str, action.questions)),
    }


def _raise(live: Live, current: State) -> None:
    st.markdown("**Raise an action**")
    answers = {f"{question} of {of}": (question, of) for question, of in sorted(current.stored)}
    form = Form("raise")
    with form.fields():
        st.text_input("Action", key=form.key("what"), max_chars=2000)
        st.text_input("Action owner", key=form.key("owner"), max_chars=200)
        st.date_input("Due", value=current.day + timedelta(days=90), key=form.key("due"), format="YYYY-MM-DD")
        st.selectbox(
            "Safety system",
            list(current.systems),
            index=None,
            key=form.key("system", current.systems),
            placeholder="None",
        )
        st.multiselect("Answers this should improve", list(answers), key=form.key("asked", answers))
        st.selectbox("Expected answer", list(ANSWERS), key=form.key("answer_to"), format_func=ANSWERS.__getitem__)
        st.text_input("Interim measure", key=form.key("interim"), max_chars=2000)
        st.text_input("Change reference", key=form.key("change"), max_chars=200)
        form.button(
            "Raise action",
            lambda fields: recorded_actions.raise_one(
                live, state.person(), _action_fields(current, fields, [answers[label] for label in fields["asked"]])
            ),
            "Action raised.",
        )


def _action_fields(current: State, fields: Told, improved: list[Asked]) -> dict[str, Any]:
    """Fields of a new action from those of its form; raises Refused without a due date."""
    present = [current.stored[asked].answer.value for asked in improved]
    if fields["due"] is None:
        raise Refused("action", [Fault("due", "missing", "give the due date")])
    return {
        **{name: fields[name] for name in ("what", "system", "owner", "due", "answer_to", "interim", "change")},
        "questions": [{"question": question, "of": of} for question, of in improved],
        "answer_from": present[0] if present else "unknown",
    }


def _end(live: Live, current: State, open_actions: list[Action]) -> None:
    """Draw the forms that close, drop and reopen an action."""
    st.markdown("**Close or drop an action**")
    ended = [action for action in open_actions if action.state == "done"] + recorded_actions.by_age(current, ended=True)
    if open_actions:
        names = _names(open_actions)
        form = Form("end")
        with form.fields():
            st.selectbox("Action", list(names), key=form.key("action", names), format_func=names.__getitem__)
            st.text_input("Evidence of completion, or reason for dropping it", key=form.key("evidence"), max_chars=2000)
            st.text_input("Verified by (not the action owner)", key=form.key("verifier"), max_chars=200)
            form.button(
                "Close action",
                lambda fields: recorded_actions.close(
                    live, state.person(), fields["action"], evidence=fields["evidence"], verifier=fields["verifier"]
                ),
                "Action closed. Answer its questions again in their sessions; a change counts once it is in the plant data.",
            )
            form.button(
                "Mark as done",
                lambda fields: recorded_actions.done(
                    live, state.person(), fields["action"], evidence=fields["evidence"]
                ),
                "Action marked as done. It stays on the list until it is verified and closed.",
            )
            form.button(
                "Drop action",
                lambda fields: recorded_actions.drop(live, state.person(), fields["action"], reason=fields["evidence"]),
                "Action dropped.",
            )
    if ended:
        _reopen(live, _names(ended))


def _reopen(live: Live, names: dict[str, str]) -> None:
    form = Form("reopen")
    with form.fields():
        st.selectbox(
            "Done, closed or dropped action",
            list(names),
            key=form.key("action", names),
            format_func=names.__getitem__,
        )
        form.button(
            "Reopen action",
            lambda fields: recorded_actions.reopen(live, state.person(), fields["action"]),
            "Action reopened.",
        )


def _names(several: list[Action]) -> dict[str, str]:
    """Id and text of each action, by id."""
    return {action.id: f"{action.id} {action.what}" for action in several}


def _import_and_export(live: Live, current: State, person: Person) -> None:
    st.markdown("**Import and export**")
    every_action = list(recorded_actions.held(current).values())
    row = st.container(horizontal=True)
    with row:
        frame.download(
            "Download the actions (XLSX)",
            lambda: action_list.to_xlsx(every_action, current.assessment, today=current.day),
            lambda: exports.handed_out(live, person, "actions, XLSX", needs="see gap detail"),
            file_name="actions.xlsx",
            mime=XLSX,
        )
        frame.download(
            "Download the actions (CSV)",
            lambda: action_list.to_csv(every_action, current.assessment, today=current.day),
            lambda: exports.handed_out(live, person, "actions, CSV", needs="see gap detail"),
            file_name="actions.csv",
            mime="text/csv",
        )
    form = Form("take_over", outside=True)
    file = st.file_uploader("Import an edited list (XLSX or CSV)", type=["xlsx", "csv"], key=form.key("list"))
    if file is None:
        return
    read = action_list.read_xlsx if file.name.lower().endswith(".xlsx") else action_list.read_csv
    try:
        proposed = read(file.getvalue(), recorded_actions.to_read_against(current, person), name=file.name)
    except Refused as refused:
        st.error(f"Import rejected, nothing changed: {counted(len(refused.faults), 'fault')} in the list.")
        st.code("\n".join(refused.lines()), language=None, wrap_lines=True)
        return
    _proposed(live, form, proposed)


def _proposed(live: Live, form: Form, proposed: Proposed) -> None:
    st.markdown(
        f"{len(proposed.updates)} actions change, {len(proposed.new)} are new, {proposed.unchanged} are unchanged."
    )
    changes = [
        f"{update.before.id}: "
        + "; ".join(f"{name} {getattr(update.before, name)} → {getattr(update.after, name)}" for name in update.fields)
        for update in proposed.updates
    ] + [f"new: {action.what}" for action in proposed.new]
    st.markdown("\n".join(f"- {escaped(change)}" for change in changes))
    if changes:
        form.button(
            "Import these changes",
            lambda _: recorded_actions.take_over(live, state.person(), proposed),
            "List imported.",
            type="primary",
        )
