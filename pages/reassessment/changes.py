"""Recording a change: what it will do, system by system; the changes on record, and taking one's own back."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.reassessment import change_records, kinds_of_change, reopening
from checks.reassessment.change_records import Affected
from checks.reassessment.reopening import Change
from checks.state.live import Live, State
from checks.state.revision_status import HALVES
from pages.presentation.wording import escaped, titled
from pages.reassessment import failures
from pages.ui import state, tables
from pages.ui.forms import Form, Told, days, distinct

MOST_DATA = 12
"""Plant data named in the consequences of a change."""


def draw(live: Live, current: State, person: Person) -> None:
    """Draw the form that records a change, with what it will affect."""
    st.markdown("### Record a change")
    if not person.may("record a change"):
        st.caption("Changes are recorded by a team member, the facilitator or the asset owner (duty holder).")
        return
    kinds, form = kinds_of_change.kinds(), Form("change", outside=True)
    kind = st.selectbox(
        "Kind of change", list(kinds), key=form.key("kind"), index=None, format_func=lambda key: kinds[key].name
    )
    if kind is None:
        return
    form.drawn_for("kind", form.key("kind"), kind, "check its questions first")
    kind_of_change = kinds[kind]
    st.caption(escaped(kind_of_change.why))
    if kind_of_change.caution:
        st.warning(escaped(kind_of_change.caution))
    addressees = _addressees(current)
    touched = st.multiselect("What it affects", addressees, key=form.key("touched", addressees))
    named = st.multiselect(
        "Topics of the cause" if kind_of_change.topic_of_cause else "Further topics",
        list(kinds_of_change.topics()),
        key=form.key("named"),
        format_func=lambda key: f"{key} {kinds_of_change.topics()[key].name}",
    )
    # A key per kind: unticking the condition of one kind must not untick that of another.
    condition = kind_of_change.only_if
    holds = condition is None or st.checkbox(condition.condition, value=True, key=form.key(f"holds {kind}"))
    left, right = st.columns(2)
    left.text_input("Reference, such as the change number", key=form.key("reference"), max_chars=200)
    right.date_input("Date", value=current.day, key=form.key("on"), format="YYYY-MM-DD")
    st.text_input("What was changed", key=form.key("what"), max_chars=2000)
    if not touched:
        st.caption("Choose what it affects: then you see, system by system, what recording it does.")
        return
    change = Change(kind, frozenset(touched), frozenset(named), condition_holds=holds)
    effects = change_records.affected(current, change)
    _affected(current, change, effects)
    lost = [effect.system for effect in effects if effect.signed]
    label = f"Invalidate the sign-off of {', '.join(lost)}"
    agreed = not lost or st.checkbox(label, key=form.key(f"agreed {' '.join(lost)}"))
    form.button(
        "Record this change",
        lambda fields: _record(live, kind, fields, lost),
        "The change is recorded. The answers it affects are to be confirmed. Until somebody builds on it, "
        "you can take it back below.",
        type="primary",
        disabled=not agreed,
    )


def _record(live: Live, kind: str, fields: Told, lost: list[str]) -> None:
    change = Change(
        kind,
        frozenset(fields["touched"]),
        frozenset(fields["named"]),
        condition_holds=bool(fields.get(f"holds {kind}", True)),
    )
    change_records.require_seen(live.state(), change, lost)
    description = {"reference": fields["reference"], "on": days(fields, "on")["on"], "what": fields["what"]}
    change_records.record_change(live, state.person(), change, **description)


def _affected(current: State, change: Change, effects: list[Affected]) -> None:
    """Draw what recording a change will do, system by system."""
    rows = [
        {
            "System": titled(effect.system, current.plant.systems[effect.system].name),
            "Answers to confirm": effect.to_confirm,
            "of them shared": effect.shared,
            "Sign-off": _sign_off(effect),
        }
        for effect in effects
    ]
    st.markdown("**What recording it does**")
    if rows:
        tables.table(rows, key="affected", alt="What recording this change does, system by system")
    else:
        st.caption("It reopens no answer and invalidates no sign-off.")
    data = reopening.data_to_check(change, current.plant)
    if data:
        names = f"{escaped(', '.join(data[:MOST_DATA]))}{' …' if len(data) > MOST_DATA else ''}"
        st.caption(f"Plant data to check: {names}.")


def _sign_off(effect: Affected) -> str:
    if effect.signed:
        halves = "both halves" if len(effect.signed) == len(HALVES) else f"{effect.signed[0]} half"
        return f"invalidated: {halves}"
    return "stays: only shared answers are to be confirmed" if effect.in_force else "none in force"


def _addressees(current: State) -> list[str]:
    addressees = [
        *(f"group:{key}" for key in current.groups),
        *(f"zone:{key}" for key in current.zones),
        *(f"system:{key}" for key in current.systems),
        *(f"device:{key}" for key in _devices(current)),
        "plant",
    ]
    return [of for of in addressees if of.startswith("device:") or current.is_answerable(of)]


def _devices(current: State) -> list[str]:
    """Devices of groups that the reader's team answers for alone."""
    plant, links = current.plant, current.assessment.links
    groups = {key: reopening.groups_touched(f"device:{key}", plant, links) for key in plant.devices}
    return [
        key for key, names in groups.items() if names and all(current.is_answerable(f"group:{name}") for name in names)
    ]


def history(live: Live, current: State, system: str) -> None:
    """Draw the changes and failures on record that concern a system, and take back one's own last change."""
    rows = [
        {
            "Date": change.body.on,
            "Reference": change.body.reference,
            "Kind": kinds_of_change.kinds()[change.body.kind].name
            if change.body.kind in kinds_of_change.kinds()
            else change.body.kind,
            "What was changed": change.body.what,
            "Answers reopened": len(change.body.reopened),
            "Still to confirm": sum(answer.asked in current.records.to_confirm for answer in change.body.reopened),
            "Recorded": f"{change.cause.day} by {change.cause.by or 'somebody'}",
        }
        for change in reversed(current.records.changes)
        if system in change.body.systems
    ]
    if rows:
        st.markdown("### Changes on record")
        tables.table(rows, key="changes", alt=f"Changes that concern {system}")
        _take_back(live, current, system)
    failures.listed(current, system)


def _take_back(live: Live, current: State, system: str) -> None:
    """Offer to take back one's own changes on which nobody has built."""
    person = state.person()
    names = {
        change.cause.seq: f"{change.body.on} {change.body.reference or change.body.what}"
        for change in reversed(current.records.changes)
        if system in change.body.systems and change_records.may_take_back(current, change, person)
    }
    if not names:
        return
    names = distinct(names)
    form = Form("take_back", outside=True)
    left, right = st.columns([3, 2], vertical_alignment="bottom")
    with left:
        st.selectbox("Your change", list(names), key=form.key("entry", names), format_func=names.__getitem__)
    with right:
        form.button(
            "Take this change back",
            lambda fields: change_records.take_back(live, state.person(), fields["entry"]),
            "The change is taken back: answers and sign-offs are as before. The journal keeps both entries.",
        )
