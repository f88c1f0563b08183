"""Recording a failure, with the rule of a common-cause event and the cyber question; and completing its record."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from checks.access.roles import Person
from checks.events.plant import failure
from checks.events.plant.failure import FoundBy
from checks.plantfile.plant import Group
from checks.reassessment import failures, reassessments, reopening
from checks.reassessment.failures import CYBER_QUESTION, FailureRecord
from checks.state.live import Live, State
from checks.state.reopened import Failed
from checks.text.faults import Fault, Refused
from pages.presentation.wording import plain
from pages.ui import state
from pages.ui.forms import Form, Told, distinct

FOUND_BY: dict[FoundBy, str] = {
    "proof-test": "Proof test",
    "self-test": "Self-test",
    "demand": "A real demand",
    "unwanted-trip": "An unwanted trip",
    "mode-change": "A change of mode nobody ordered",
    "inspection": "Inspection",
    "other": "Otherwise",
}
SHARED = {None: "undecided", True: "yes", False: "no"}
KNOWN = {None: "Not known", True: "Yes", False: "No"}
DECIDED = {
    "cause_explained": "Is the cause explained?",
    "coupling_named": "Is it known how it reached each channel?",
    "inside_boundary": "Did the channels themselves fail?",
    "software_involved": "Had software a part?",
}


def draw(live: Live, now: State, person: Person) -> None:
    """Draw the form of a failure, what follows from it, and the recording."""
    st.markdown("### Record a failure")
    if not person.may("record a change"):
        st.caption("A team member, the facilitator or the owner records failures.")
        return
    held = _which(now)
    form = Form("failure", held and (held.cause.seq, held.last), outside=True)
    groups = tuple(held.body.groups) if held else _group(now, form)
    if groups:
        blank = FailureRecord(on=now.day, reference="", groups=groups, channels=(), found_by="proof-test")
        _fields(now, form, reassessments.failure_of(held.body) if held else blank)
        _follows(now, form.told(), groups, held)
    form.button(
        "Complete this record" if held else "Record this failure",
        lambda told: reassessments.failure(live, state.person(), _read(told, groups), completes=held),
        "The record is completed." if held else "The failure is recorded.",
        type="primary",
        disabled=not groups,
    )


def _which(now: State) -> Failed | None:
    """The failure whose record is to be completed; None for a new one."""
    known = {one.cause.seq: one for one in reversed(now.records.failures) if now.groups.keys() >= {*one.body.groups}}
    if not known:
        return None
    names = distinct({seq: _named(one.body) for seq, one in known.items()})
    number = st.selectbox(
        "Failure, a new one or one on record to be completed",
        list(names),
        key="f_which",
        index=None,
        placeholder="A new one",
        format_func=names.__getitem__,
    )
    return known.get(number or 0)


def _named(body: failure.Body) -> str:
    return f"{body.reference or 'a failure'} of {body.on}, {', '.join(body.groups)}"


def _group(now: State, form: Form) -> tuple[str, ...]:
    group = st.selectbox("Group", list(now.groups), key=form.key("group"), index=None)
    form.drawn_for("group", form.key("group"), group, "look at its channels first")
    return () if group is None else (group,)


def _fields(now: State, form: Form, first: FailureRecord) -> None:
    names = [name for group in first.groups for name in _channels(now.plant.groups[group])]
    names += [name for name in first.channels if name not in names]
    st.multiselect("Channels found failed or degraded", names, default=first.channels, key=form.key("channels"))
    left, right = st.columns(2)
    left.text_input("Reference", first.reference, key=form.key("reference"), max_chars=200)
    right.date_input("On", value=first.on, key=form.key("on"), format="YYYY-MM-DD")
    found = list(FOUND_BY).index(first.found_by)
    left.selectbox("Found by", list(FOUND_BY), index=found, key=form.key("found_by"), format_func=FOUND_BY.__getitem__)
    right.number_input(
        "Hours from the first failure to the last", min_value=0.0, value=first.period_h, key=form.key("period_h")
    )
    st.text_area(
        "Cause, and how it reached each channel", first.cause, key=form.key("cause"), max_chars=2000, height=68
    )
    st.checkbox("The other channels were looked at too", first.others_checked, key=form.key("others_checked"))
    for name, label in DECIDED.items():
        st.segmented_control(
            label, list(KNOWN), key=form.key(name), default=getattr(first, name), format_func=KNOWN.__getitem__
        )
    st.multiselect(
        "Topics of the cause",
        list(reopening.topics()),
        default=sorted(first.cause_topics),
        key=form.key("cause_topics"),
        format_func=lambda key: f"{key} {reopening.topics()[key].name}",
    )
    st.text_area(
        "What was looked at to rule out a person or a program, by whom, and what it showed",
        first.looked_at,
        key=form.key("looked_at"),
        max_chars=2000,
        height=68,
    )


def _channels(group: Group) -> list[str]:
    return group.tags or [f"channel {at}" for at in range(1, group.voting.n + 1)]


def _read(told: Told, groups: tuple[str, ...]) -> FailureRecord:
    """The record that the fields make; raises Refused."""
    fields = {name: value for name, value in told.items() if name != "group"}
    fields |= {"channels": tuple(told["channels"]), "cause_topics": frozenset(told["cause_topics"])}
    fields |= {name: (told[name] or "").strip() for name in ("reference", "looked_at")}
    if told["on"] is None:
        raise Refused("failure", [Fault("on", "missing", "the day on which it was found")])
    return FailureRecord(groups=groups, **fields)


def _follows(now: State, told: Told, groups: tuple[str, ...], held: Failed | None) -> None:
    """What the rule says of it, and whether security is to be looked at."""
    try:
        record = _read(told, groups)
    except Refused as refused:
        st.caption("\n".join(plain(str(one)) for one in refused.faults))
        return
    judged = failures.verdict(record, now.plant)
    st.markdown(f"**{plain(judged.sentence)}**")
    st.markdown("\n".join(f"- {plain(one.sentence)}" for one in judged.parts))
    earlier = [reassessments.failure_of(one.body) for one in now.records.failures if one is not held]
    question = failures.cyber_question(record, now.plant, earlier=earlier)
    if question is not None:
        st.warning(f"{plain(' '.join(question.reasons))} {plain(CYBER_QUESTION)}")


def listed(now: State, system: str) -> None:
    """Draw the failures on record that concern a system, the latest first."""
    rows = [
        {
            "On": one.body.on,
            "Reference": one.body.reference,
            "Groups": ", ".join(one.body.groups),
            "Channels": ", ".join(one.body.channels),
            "Found by": FOUND_BY[one.body.found_by],
            "Cause": one.body.cause or "not explained yet",
            "A shared cause": SHARED[one.body.is_event],
            "Because": " ".join(one.body.parts),
            "Look at security": "; ".join(one.body.asks) or "not asked",
            "Looked at": one.body.looked_at or ("nothing on record" if one.body.asks else ""),
            "Recorded": f"{one.cause.day} by {one.cause.by or 'somebody'}",
        }
        for one in reversed(now.records.failures)
        if system in one.body.systems
    ]
    if rows:
        st.markdown("### Failures on record")
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="failures", alt=f"Failures that concern {system}")
