"""Faults of a variant, and the way to make it the plant's data: what it changes is shown first."""

from __future__ import annotations

import streamlit as st

from checks.events.plant import plant_data
from checks.plant_tables import preview
from checks.plant_tables.columns import column
from checks.plant_tables.entries import CellFault
from checks.recording import plant_setup
from checks.state.live import Live, State
from checks.variants.variant import Outcome
from pages.plant_data import consequences
from pages.presentation.wording import counted, escaped
from pages.ui import messages, state

TAKE = "take variant over"


def draw(live: Live, current: State, chosen: Outcome) -> None:
    """Draw the faults of the chosen variant, or what taking it over would do."""
    name, found = chosen.variant.name, chosen.draft.plant
    if found is None:
        faults = chosen.draft.faults
        st.markdown(f"**{counted(len(faults), 'fault')} in variant {name}**")
        st.markdown("\n".join(f"- {escaped(_in_words(chosen, fault))}" for fault in faults))
        return
    if not chosen.variant.cells:
        return
    if not state.person().may_everywhere(plant_data.Body.PERMISSION) or current.within is not None:
        st.caption("Taking a variant over changes plant data, which your role may not. Nothing of it is stored.")
        return
    folded = st.expander("Take a variant over into the plant", key="take_over", on_change="rerun")
    if folded.open:
        with folded:
            st.markdown(f"Variant {name} becomes plant data. Groups that other functions use change there too.")
            consequences.draw(preview.preview(current, found))
            st.button(
                f"Take variant {name} over",
                key="take_variant",
                type="primary",
                on_click=_take,
                args=(live, chosen, current.version.data),
            )
    messages.answered(TAKE)


def _in_words(chosen: Outcome, fault: object) -> str:
    if isinstance(fault, CellFault):
        group = list(chosen.variant.cells)[fault.row - 1]
        return f"{group}, {column(fault.sheet, fault.key).title}: {fault.found}; {fault.allowed}"
    return str(fault)


def _take(live: Live, chosen: Outcome, seen: int) -> None:
    """Callback: store the variant as plant data."""

    def deed() -> None:
        if chosen.draft.plant is not None:
            plant_setup.save(live, state.person(), chosen.draft.plant, seen=seen)

    messages.attempt(deed, f"Variant {chosen.variant.name} is plant data now.", TAKE)
