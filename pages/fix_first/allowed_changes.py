"""Changes of tests and voting that somebody allows, with their efforts and gains: a table, a form, and what withdraws one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import streamlit as st

from checks.allowed_changes import fitting
from checks.allowed_changes.change import UNIT, GroupChange, in_words
from checks.events.plant.allowed_change import Body
from checks.improvement import efforts, recorded_changes
from checks.improvement.group_model import Step
from checks.state.live import Live, State
from checks.state.owner_records import AllowedChange
from checks.text.faults import Fault, Refused
from checks.text.number_format import NONE
from pages.ui import state, tables
from pages.ui.forms import Form, Told

HELP = "Hours for an interval, a fraction for a coverage (0.9), a voting of the same channels, such as 1oo3."


def draw(live: Live, current: State, functions: Sequence[str], gains: Mapping[Step, str]) -> None:
    """Draw the allowed changes of the groups of some functions; ``gains`` are the texts of what each gains alone."""
    keys = {key: None for name in functions for key in current.plant.functions[name].group_ids}
    seen = [key for key in keys if current.is_visible(f"group:{key}")]
    folded = st.expander("Allow changes of tests and voting", key="allow_changes", on_change="rerun")
    if not folded.open:
        return
    with folded:
        st.caption(
            "A change is an action like an answer that becomes met: of a group at most one voting, and one interval and one "
            f"coverage of a test, are chosen at once. At most {fitting.MOST} changes of a group. It changes no plant data."
        )
        standing = recorded_changes.standing(current, seen)
        if standing:
            rows = [_row(current, change, entry, gains) for change, entry in standing.items()]
            tables.table(rows, key="allowed_changes", alt="Allowed changes of tests and voting")
        person = state.person()
        if not person.may(Body.PERMISSION):
            st.caption("Changes are allowed by those who raise actions: facilitator, team member, owner.")
            return
        _allow(live, current, seen)
        if standing:
            _withdraw(live, standing)


def _row(current: State, change: GroupChange, entry: AllowedChange, gains: Mapping[Step, str]) -> dict[str, str]:
    wrong = fitting.misfit(current.plant, change)
    return {
        "Change": in_words(change, entry.was),
        "Effort": f"{entry.effort:g}",
        "Alone": gains.get(change, NONE),
        "Why": entry.reason,
        "Allowed by": f"{entry.cause.by or 'somebody'}, {entry.cause.day}",
        "Counts": "yes" if wrong is None else f"no: {wrong.found}",
    }


def _allow(live: Live, current: State, keys: Sequence[str]) -> None:
    known = {in_place(place): place for key in keys for place in fitting.places(key, current.plant.groups[key])}
    form = Form("allow", tuple(keys))
    with form.fields():
        left, middle, right = st.columns([3, 1, 1])
        left.selectbox("What changes", list(known), index=None, key=form.key("place", known))
        middle.text_input("To", key=form.key("to"), max_chars=40, help=HELP)
        right.text_input("Effort", key=form.key("effort"), max_chars=20, help=f"{efforts.ALLOWED}; empty counts as 1")
        st.text_input("Why, or what it is called", key=form.key("reason"), max_chars=2000)
        form.button(
            "Allow change",
            lambda fields: recorded_changes.allow(live, state.person(), _fields(known, fields)),
            "Change allowed.",
        )


def in_place(place: GroupChange) -> str:
    """What may change, with its present value."""
    test = f", {place.test}" if place.test else ""
    return f"{place.what} of {place.group}{test}, {place.to}{UNIT[place.what]} now"


def _fields(known: Mapping[str, GroupChange], fields: Told) -> dict[str, str]:
    """The texts of a change from those of the form; raises Refused where nothing is chosen."""
    if fields["place"] is None:
        raise Refused("allowed change", [Fault("what changes", "nothing chosen", "choose what changes")])
    place = known[fields["place"]]
    typed = {name: str(fields[name] or "") for name in ("to", "effort", "reason")}
    return {"group": place.group, "change": place.what, "test": place.test, **typed}


def _withdraw(live: Live, standing: Mapping[GroupChange, AllowedChange]) -> None:
    names = {in_words(change, entry.was): change for change, entry in standing.items()}
    form = Form("withdraw_change", tuple(names))
    with form.fields():
        st.selectbox("Allowed change", list(names), key=form.key("change", names))
        form.button(
            "Withdraw change",
            lambda fields: recorded_changes.withdraw(live, state.person(), names[fields["change"]]),
            "Change withdrawn.",
        )
