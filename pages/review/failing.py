"""Recording a failure, with the rule of a common-cause event and the cyber question."""

from __future__ import annotations

from typing import Any

import pandas as pd
import streamlit as st

from checks.faults import Refused
from checks.live import Live, State
from checks.record import failures, reassessing, reopening
from checks.record.failures import CYBER_QUESTION, FailureRecord, FoundBy
from checks.record.people import Person
from pages.shared import frame
from pages.shared.wording import plain

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


def draw(live: Live, now: State, person: Person) -> None:
    """Draw the form of a failure, what follows from it, and the recording."""
    st.markdown("### Record a failure")
    if not person.may("record a change"):
        st.caption("A team member, the facilitator or the owner records failures.")
        return
    group = st.selectbox("Group", list(now.groups), key="f_group", index=None)
    if group is None:
        return
    try:
        record = _asked(now, group)
    except Refused as refused:
        st.caption("\n".join(plain(str(one)) for one in refused.faults))
        return
    _follows(now, record)
    if st.button("Record this failure", key="f_record", type="primary"):
        frame.attempt(
            lambda: reassessing.failure(live, person, record),
            "The failure is recorded.",
            clear=("f_group", "f_channels"),
        )


def _asked(now: State, group: str) -> FailureRecord:
    held = now.plant.groups[group]
    names = held.tags or [f"channel {at}" for at in range(1, held.voting.n + 1)]
    channels = st.multiselect("Channels found failed or degraded", names, key="f_channels")
    left, right = st.columns(2)
    reference = left.text_input("Reference", key="f_reference", max_chars=200)
    on = right.date_input("On", value=now.day, key="f_on", format="YYYY-MM-DD")
    found = left.selectbox("Found by", list(FOUND_BY), key="f_found", format_func=FOUND_BY.__getitem__)
    hours = right.number_input("Hours from first to last", min_value=0.0, value=None, key="f_hours")
    cause = st.text_input("Cause, and how it reached each channel", key="f_cause", max_chars=2000)
    others = st.checkbox("The other channels were looked at too", key="f_others")
    told: dict[str, Any] = {
        name: st.segmented_control(label, list(KNOWN), key=f"f_{name}", default=None, format_func=KNOWN.__getitem__)
        for name, label in (
            ("cause_explained", "Is the cause explained?"),
            ("coupling_named", "Is it known how it reached each channel?"),
            ("inside_boundary", "Did the channels themselves fail?"),
            ("software_involved", "Had software a part?"),
        )
    }
    named = st.multiselect(
        "Topics of the cause",
        list(reopening.topics()),
        key="f_topics",
        format_func=lambda key: f"{key} {reopening.topics()[key].name}",
    )
    return FailureRecord(
        on=on or now.day,
        reference=reference.strip(),
        groups=(group,),
        channels=tuple(channels),
        found_by=found,
        others_checked=others,
        cause=cause,
        cause_topics=frozenset(named),
        period_h=hours,
        **told,
    )


def _follows(now: State, record: FailureRecord) -> None:
    judged = failures.verdict(record, now.plant)
    st.markdown(f"**{plain(judged.sentence)}**")
    st.markdown("\n".join(f"- {plain(one.sentence)}" for one in judged.parts))
    earlier = [reassessing.failure_of(body) for body, _ in now.records.failures]
    question = failures.cyber_question(record, now.plant, earlier=earlier)
    if question is not None:
        st.warning(f"{plain(' '.join(question.reasons))} {plain(CYBER_QUESTION)}")


def listed(now: State, system: str) -> None:
    """Draw the failures on record that concern a system, the latest first."""
    rows = [
        {
            "On": body["on"],
            "Reference": body["reference"],
            "Groups": ", ".join(body["groups"]),
            "Channels": ", ".join(body["channels"]),
            "Found by": FOUND_BY[body["found_by"]],
            "Cause": body["cause"] or "not explained yet",
            "A shared cause": SHARED[body["is_event"]],
            "Because": " ".join(body["parts"]),
            "Look at security": "; ".join(body["asks"]) or "not asked",
            "Recorded": f"{cause.day} by {cause.by or 'somebody'}",
        }
        for body, cause in reversed(now.records.failures)
        if system in body["systems"]
    ]
    if rows:
        st.markdown("### Failures on record")
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="failures", alt=f"Failures that concern {system}")
