"""Set-up screen: the plant in grids, a guided new function, what a change does before it is saved, and undo."""

from __future__ import annotations

import streamlit as st

from checks.events.plant import plant_data
from checks.plant_tables import plausibility, preview
from checks.plant_tables.columns import SHEETS, column
from checks.plant_tables.draft import Draft
from checks.plant_tables.entries import CellFault
from checks.plant_tables.preview import Preview
from checks.recording import plant_setup
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from pages.plant import drafts, entry_form, function_form, grid
from pages.plant.drafts import PlantDraft
from pages.plant_data import consequences
from pages.presentation.wording import counted, escaped
from pages.ui import frame, messages, places, state

MOST_FAULTS = 30
MOST_NOTES = 8
MOST_STATES = 6
SAVE = "save plant"


def _draw(live: Live, current: State) -> None:
    st.markdown(f"## Set up {escaped(current.plant.plant.name)}")
    frame.method_note(current)
    if current.within is not None:
        st.info("Plant data are set up by somebody whose role covers the whole plant.")
        return
    kept = drafts.of(live, current)
    if kept.seen != current.version.data:
        _begun_earlier(live)
    with st.expander("New function, step by step", expanded=not current.plant.functions and not kept.changed):
        function_form.draw(live, current, kept)
    sheet = places.choose("Sheet", "sheet", {name: name for name in SHEETS}, default="Functions")
    kept = grid.draw(live, current, kept, sheet)
    drafts.keep(kept)
    folded = st.expander("One entry as a form", key="entry_form", on_change="rerun")
    if folded.open:
        with folded:
            entry_form.draw(live, current, kept, sheet)
    pending = f" Changed so far: {', '.join(kept.sheets)}." if kept.changed else ""
    st.caption(
        f"Type or paste; a row is added at the end and removed with its box at the left. Nothing is stored before Save.{pending}"
    )
    _below(live, current, kept)
    _notes(current)
    _states(live, current)


def _begun_earlier(live: Live) -> None:
    st.warning(
        "The plant data were changed after you began this draft. Saving it is refused: note what you need, then begin again."
    )
    st.button("Discard my draft and show the present data", key="discard_old", on_click=drafts.discard, args=(live,))


def _below(live: Live, current: State, kept: PlantDraft) -> None:
    """Faults at their cells, or what the draft does, and the buttons."""
    checked = drafts.checked(current, kept) if kept.changed else None
    found = checked.preview if checked is not None else None
    if found is not None:
        consequences.draw(found)
    elif checked is not None:
        _faults(checked.draft)
    row = st.container(horizontal=True)
    row.button(
        "Save",
        key="save_plant",
        type="primary",
        disabled=found is None or found.nothing,
        on_click=_save,
        args=(live, found),
    )
    row.button("Discard changes", key="discard_plant", disabled=not kept.changed, on_click=drafts.discard, args=(live,))
    messages.answered(SAVE)


def _faults(checked: Draft) -> None:
    faults = checked.faults
    st.markdown(f"**{counted(len(faults) + checked.unlisted, 'fault')} to correct before saving**")
    lines = []
    for fault in faults[:MOST_FAULTS]:
        if isinstance(fault, CellFault):
            place = f"{fault.sheet}, row {fault.row}, {column(fault.sheet, fault.key).title}"
        else:
            place = fault.place
        lines.append(f"- **{escaped(place)}**: {escaped(fault.found)}; {escaped(fault.allowed)}")
    if len(faults) > MOST_FAULTS:
        lines.append(f"- and {len(faults) - MOST_FAULTS} more")
    st.markdown("\n".join(lines))


def _save(live: Live, found: Preview | None) -> None:
    """Callback: store the draft as it is now, as one event."""
    if found is None:
        return

    def deed() -> None:
        if not grid.drawn():
            raise Refused(
                "set-up",
                [Fault("The last cell you typed", "was not on screen yet", "look at it, then press Save again")],
            )
        current = live.state()
        kept = drafts.of(live, current)
        plant = drafts.checked(current, kept).draft.plant
        if plant is not None:
            plant_setup.save(live, state.person(), plant, seen=kept.seen)
            drafts.discard(live)

    messages.attempt(deed, f"Saved: {consequences.summary(found)}", SAVE)


def _notes(current: State) -> None:
    """Plausibility of the stored plant: notes that refuse nothing."""
    notes = plausibility.notes(current.assessment)
    if not notes:
        return
    with st.expander(f"Worth a second look ({len(notes)})"):
        st.markdown("\n".join(f"- {escaped(str(note))}" for note in notes[:MOST_NOTES]))
        if len(notes) > MOST_NOTES:
            st.caption(f"{len(notes) - MOST_NOTES} more.")


def _states(live: Live, current: State) -> None:
    """The latest states of the plant data, and the way back to the one before."""
    folded = st.expander("Earlier states of the plant data", key="plant_states", on_change="rerun")
    if not folded.open:
        return
    with folded:
        states = plant_setup.latest(live, MOST_STATES)
        st.markdown(
            "\n".join(f"- {saved.at[:16].replace('T', ' ')} UTC, {escaped(saved.by) or 'somebody'}" for saved in states)
        )
        if len(states) < 2:
            st.caption("There is no state before this one.")
            return
        found = preview.preview(current, plant_setup.before(live, current.version.data))
        st.markdown("**Undo the latest change**: the state before it comes back, as a new entry of the audit trail.")
        consequences.draw(found)
        st.button("Bring the state before back", key="undo_plant", on_click=_undo, args=(live, current.version.data))
        messages.answered("undo plant")


def _undo(live: Live, seen: int) -> None:
    def deed() -> None:
        plant_setup.undo(live, state.person(), seen=seen)
        drafts.discard(live)

    messages.attempt(deed, "The state before is back.", "undo plant")


page = frame.screen(_draw, needs=plant_data.Body.PERMISSION)
