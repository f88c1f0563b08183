"""The form that gives a group a beta method of its own, with a reason; what it changes is shown before it is stored."""

from __future__ import annotations

import streamlit as st

from checks.analysis import beta_opinions
from checks.events.plant import plant_data
from checks.recording import group_method
from checks.recording.group_method import Consequences
from checks.state.live import Live, State
from checks.text.number_format import percent
from pages.plant_data import consequences
from pages.presentation.wording import escaped
from pages.ui import state
from pages.ui.forms import Form, Told
from scoring.beta.by_grades import BETA_D, NO_VALUE, OPEN
from scoring.methods import registry

HOUSE_RULES = f"{OPEN[0].upper()}{OPEN[1:]}; {BETA_D}; {NO_VALUE}."


def draw(live: Live, current: State, group: str) -> None:
    """Draw the form of one group, folded; nothing for those who may not change plant data, and where no answers give its beta."""
    may = current.within is None and state.person().may_everywhere(plant_data.Body.PERMISSION)
    if not may or not beta_opinions.asks(current.plant.groups[group]) or not current.assessment.asked(group):
        return
    folded = st.expander(
        "Choose the method that carries the result of this group", key="group_method", on_change="rerun"
    )
    if folded.open:
        with folded:
            _form(live, current, group)


def _form(live: Live, current: State, group: str) -> None:
    st.caption(escaped(f"A change of plant data: it is recorded with its reason. {HOUSE_RULES}"))
    present, reason = group_method.chosen(current.plant, group)
    of_plant = current.assessment.editions.beta.about.label
    names = {
        "": f"That of the plant: {of_plant}",
        **{id_: _label(id_) for id_ in group_method.choices(current.plant, group)},
    }
    form = Form("group_method", group, outside=True)
    at = list(names).index(present) if present in names else 0
    method = st.selectbox("Method", list(names), index=at, key=form.key("method", names), format_func=names.__getitem__)
    why = st.text_input("Reason", reason, key=form.key("reason"), max_chars=2000) if method else ""
    form.drawn_for("Method", form.key("method", names), method, "look at what it changes, then press again")
    if (method, why) == (present, reason):
        st.caption(f"This is the method of {escaped(group)} now.")
        return
    found = group_method.consequences(current, group, method, why)
    st.markdown("\n".join(f"- {line}" for line in _lines(group, found)))
    consequences.draw(found.preview)
    seen = current.version.data
    form.button(
        "Store this method", lambda fields: _store(live, group, fields, seen), f"The method of {group} is stored."
    )


def _label(method: str) -> str:
    known = registry.BETA if method in registry.BETA.ids() else registry.ASKED_BETA
    return known.latest(method).about.label


def _lines(group: str, found: Consequences) -> list[str]:
    """Beta before and after, and each verdict that changes."""
    lines = []
    if found.before is not None and found.after is not None:
        pairs = (("Beta", found.before.beta, found.after.beta), ("beta_D", found.before.beta_d, found.after.beta_d))
        lines = [escaped(f"{name} of {group}: {percent(old)} → {percent(new)}") for name, old, new in pairs]
    for function, case, meets in found.verdicts:
        lines.append(escaped(f"{function} {'meets' if meets else 'falls short of'} its target {case} then"))
    return lines if found.verdicts else [*lines, "No verdict on a target changes."]


def _store(live: Live, group: str, fields: Told, seen: int) -> None:
    reason = fields.get("reason") or ""
    group_method.choose(live, state.person(), group, fields["method"], reason, seen=seen)
