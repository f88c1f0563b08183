"""Recording a failure or completing its record, with the common-cause rule and the security question."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import Person
from checks.events.plant.failure import Body as FailureBody
from checks.plantfile.equipment import Group
from checks.reassessment import failure_records, failures, kinds_of_change
from checks.reassessment.failures import CYBER_QUESTION, FailureRecord
from checks.state.live import Live, State
from checks.state.reopened import Failed
from checks.text.faults import Fault, Refused
from pages.presentation.wording import COMMON_CAUSE, FOUND_BY, escaped
from pages.ui import state, tables
from pages.ui.forms import Form, Told, distinct

KNOWN = {None: "Not known", True: "Yes", False: "No"}
DECIDED = {
    "cause_explained": "Is the cause explained?",
    "coupling_named": "Is the coupling to each channel known?",
    "inside_boundary": "Did the channels themselves fail?",
    "software_involved": "Was software involved?",
}


def draw(live: Live, current: State, person: Person) -> None:
    """Draw the form of a failure, what the rules conclude from it, and the button that records it."""
    st.markdown("### Record a failure")
    if not person.may("record a change"):
        st.caption("Failures are recorded by a team member, the facilitator or the asset owner (duty holder).")
        return
    recorded = _which(current)
    form = Form("failure", recorded and (recorded.cause.seq, recorded.last), outside=True)
    groups = tuple(recorded.body.groups) if recorded else _group(current, form)
    if groups:
        blank = FailureRecord(on=current.day, reference="", groups=groups, channels=(), found_by="proof-test")
        _fields(current, form, failure_records.failure_of(recorded.body) if recorded else blank)
        _conclusions(current, form.told(), groups, recorded)
    form.button(
        "Complete this record" if recorded else "Record this failure",
        lambda fields: failure_records.record_failure(live, state.person(), _read(fields, groups), completes=recorded),
        "The record is completed." if recorded else "The failure is recorded.",
        type="primary",
        disabled=not groups,
    )


def _which(current: State) -> Failed | None:
    """The recorded failure to complete; None for a new one."""
    known = {
        failure.cause.seq: failure
        for failure in reversed(current.records.failures)
        if current.groups.keys() >= {*failure.body.groups}
    }
    if not known:
        return None
    names = distinct({number: _label(failure.body) for number, failure in known.items()})
    number = st.selectbox(
        "Failure (new, or a record to complete)",
        list(names),
        key="f_which",
        index=None,
        placeholder="New failure",
        format_func=names.__getitem__,
    )
    return known.get(number or 0)


def _label(body: FailureBody) -> str:
    return f"{body.reference or 'a failure'} of {body.on}, {', '.join(body.groups)}"


def _group(current: State, form: Form) -> tuple[str, ...]:
    group = st.selectbox("Group", list(current.groups), key=form.key("group"), index=None)
    form.drawn_for("group", form.key("group"), group, "check its channels first")
    return () if group is None else (group,)


def _fields(current: State, form: Form, first: FailureRecord) -> None:
    """Draw the fields; ``first`` is what they show at first."""
    names = [name for group in first.groups for name in _channels(current.plant.groups[group])]
    names += [name for name in first.channels if name not in names]
    st.multiselect("Channels found failed or degraded", names, default=first.channels, key=form.key("channels"))
    left, right = st.columns(2)
    left.text_input("Reference, such as the failure report", first.reference, key=form.key("reference"), max_chars=200)
    right.date_input("Found on", value=first.on, key=form.key("on"), format="YYYY-MM-DD")
    index = list(FOUND_BY).index(first.found_by)
    left.selectbox("Found by", list(FOUND_BY), index=index, key=form.key("found_by"), format_func=FOUND_BY.__getitem__)
    right.number_input(
        "Hours from the first failure to the last", min_value=0.0, value=first.period_h, key=form.key("period_h")
    )
    st.text_area("Cause, and coupling to each channel", first.cause, key=form.key("cause"), max_chars=2000, height=68)
    st.checkbox("The other channels were inspected too", first.others_checked, key=form.key("others_checked"))
    for name, label in DECIDED.items():
        st.segmented_control(
            label, list(KNOWN), key=form.key(name), default=getattr(first, name), format_func=KNOWN.__getitem__
        )
    _as_evidence(form, first)
    st.multiselect(
        "Topics of the cause",
        list(kinds_of_change.topics()),
        default=sorted(first.cause_topics),
        key=form.key("cause_topics"),
        format_func=lambda key: f"{key} {kinds_of_change.topics()[key].name}",
    )
    st.text_area(
        "Checks made to rule out a person or a program: what, by whom, with what result",
        first.looked_at,
        key=form.key("looked_at"),
        max_chars=2000,
        height=68,
    )


def _as_evidence(form: Form, first: FailureRecord) -> None:
    """Draw the fields that matter to the estimates of beta and failure rates alone."""
    left, right = st.columns(2)
    left.number_input(
        "Channels that could have failed, if not those of the plant data",
        min_value=1,
        max_value=failures.MOST_CHANNELS,
        value=first.channels_at_risk,
        key=form.key("channels_at_risk"),
    )
    right.number_input(
        "Probability of a shared cause, 0 to 1, if doubtful",
        min_value=0.0,
        max_value=1.0,
        value=first.shared_weight,
        key=form.key("shared_weight"),
    )
    st.segmented_control(
        "Were the channels tested in turn (staggered)?",
        list(KNOWN),
        key=form.key("staggered_tests"),
        default=first.staggered_tests,
        format_func={**KNOWN, None: "As in the plant data"}.__getitem__,
    )


def _channels(group: Group) -> list[str]:
    return group.tags or [f"channel {number}" for number in range(1, max(1, len(group.channels)) + 1)]


def _read(fields: Told, groups: tuple[str, ...]) -> FailureRecord:
    """The failure record of the form's fields; raises Refused."""
    record = {name: value for name, value in fields.items() if name != "group"}
    record |= {"channels": tuple(fields["channels"]), "cause_topics": frozenset(fields["cause_topics"])}
    record |= {name: (fields[name] or "").strip() for name in ("reference", "looked_at")}
    if fields["on"] is None:
        raise Refused("failure", [Fault("on", "missing", "give the day on which it was found")])
    return FailureRecord(groups=groups, **record)


def _conclusions(current: State, fields: Told, groups: tuple[str, ...], recorded: Failed | None) -> None:
    """Draw whether it is a common-cause event, and whether a security check is needed."""
    try:
        record = _read(fields, groups)
    except Refused as refused:
        st.caption("\n".join(escaped(str(fault)) for fault in refused.faults))
        return
    verdict = failures.verdict(record, current.plant)
    st.markdown(f"**{escaped(verdict.sentence)}**")
    st.markdown("\n".join(f"- {escaped(part.sentence)}" for part in verdict.parts))
    earlier = [
        failure_records.failure_of(failure.body) for failure in current.records.failures if failure is not recorded
    ]
    question = failures.cyber_question(record, current.plant, earlier=earlier)
    if question is not None:
        st.warning(f"{escaped(' '.join(question.reasons))} {escaped(CYBER_QUESTION)}")


def listed(current: State, system: str) -> None:
    """Draw the recorded failures that concern a system, the latest first."""
    rows = [
        {
            "Found on": failure.body.on,
            "Reference": failure.body.reference,
            "Groups": ", ".join(failure.body.groups),
            "Channels": ", ".join(failure.body.channels),
            "Found by": FOUND_BY[failure.body.found_by],
            "Cause": failure.body.cause or "not explained yet",
            "Common cause": COMMON_CAUSE[failure.body.is_event],
            "Basis": " ".join(failure.body.parts),
            "Security check needed": "; ".join(failure.body.asks) or "no",
            "Security check made": failure.body.looked_at or ("not recorded" if failure.body.asks else ""),
            "Recorded": f"{failure.cause.day} by {failure.cause.by or 'somebody'}",
        }
        for failure in reversed(current.records.failures)
        if system in failure.body.systems
    ]
    if rows:
        st.markdown("### Failures on record")
        tables.table(rows, key="failures", alt=f"Failures that concern {system}")
