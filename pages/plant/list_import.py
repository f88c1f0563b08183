"""Screen that brings a list into the plant: template, own data, upload, its columns, the preview, and taking it over."""

from __future__ import annotations

from typing import Any

import streamlit as st

from checks.events.plant import plant_data
from checks.plant_tables import template
from checks.plant_tables.columns import SHEETS, column
from checks.plant_tables.draft import Draft
from checks.plant_tables.entries import CellFault
from checks.plant_tables.list_import import ReadList
from checks.plant_tables.preview import Preview
from checks.record_files import exports
from checks.recording import plant_setup
from checks.spreadsheets.cells import csv_bytes
from checks.state.live import Live, State
from checks.text.faults import Fault, Refused
from checks.text.number_format import NONE
from pages.plant import brought_list, list_columns
from pages.plant.brought_list import Brought, Outcome
from pages.plant_data import consequences
from pages.presentation.wording import counted, escaped
from pages.ui import frame, messages, state, tables

MOST_FAULTS = 200
TAKE = "take over list"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _draw(live: Live, current: State) -> None:
    st.markdown(f"## Bring a list into {escaped(current.plant.plant.name)}")
    if current.within is not None:
        st.info("A list is brought in by somebody whose role covers the whole plant.")
        return
    st.markdown(
        "Any list will do: an XLSX workbook, or CSV for one sheet. Its columns are found by their names and can be "
        "corrected. Nothing is stored before you have seen what is new, changed and gone, and press *Take over*."
    )
    frame.method_note(current)
    _downloads(live, current)
    key = f"list_upload_{live.key}_{brought_list.uploads(live)}"
    upload: Any = st.file_uploader("List (XLSX or CSV)", key=key)
    if upload is not None:
        with st.spinner("Reading the file …"):
            brought_list.begin(live, upload.file_id, upload.name, upload.getvalue, plant_setup.choices_of_list(live))
    brought = brought_list.of(live)
    if brought is None:
        messages.answered(TAKE)
        frame.link("plant", "Open the Plant screen")
        return
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    left.markdown(f"### {escaped(brought.name)}")
    right.button("Put this list away", key="list_away", on_click=brought_list.put_away, args=(live,))
    if brought.faults:
        st.error("\n\n".join(escaped(f"Not read: {fault.found}; {fault.allowed}.") for fault in brought.faults))
        return
    _brought(live, current, brought)


def _downloads(live: Live, current: State) -> None:
    fold = st.expander("Template, and the plant's own data in the same form", key="list_downloads", on_change="rerun")
    if not fold.open:
        return
    person, plant = state.person(), current.plant

    def noted(what: str) -> object:
        return exports.handed_out(live, person, what, needs="see betas and results")

    with fold:
        st.download_button(
            "Empty template (XLSX)", template.empty, file_name="template.xlsx", mime=XLSX, on_click="ignore"
        )
        frame.download(
            "Data of this plant (XLSX)",
            lambda: template.of_plant(plant),
            lambda: noted("plant data as XLSX"),
            file_name=f"plant-{live.key}.xlsx",
            mime=XLSX,
        )
        sheet = st.selectbox("Sheet as CSV", list(SHEETS), key="list_csv_sheet")
        frame.download(
            f"{sheet} of this plant (CSV)",
            lambda: template.sheet_as_csv(plant, sheet),
            lambda: noted(f"{sheet} of the plant as CSV"),
            file_name=f"plant-{live.key}-{sheet.lower()}.csv",
            mime="text/csv",
        )


def _brought(live: Live, current: State, brought: Brought) -> None:
    """The columns of a list, and what it does."""
    outcome = brought_list.known(live, current)
    if outcome is None:
        place = st.empty()
        with place.status("Reading the list …") as status:
            outcome = brought_list.outcome_of(live, current, brought, lambda step: status.update(label=step))
        place.empty()
    list_columns.draw(live, brought, outcome.found)
    if not outcome.found.entries:
        st.info(
            f"No table of this list is known by its columns. Choose above which sheet it is: {', '.join(SHEETS)}. "
            "It needs a column for the id."
        )
        return
    _whole(live, brought)
    st.markdown("### Preview")
    if outcome.preview is None:
        _faults(outcome.draft, outcome.found)
        return
    consequences.draw(outcome.preview)
    changes = consequences.all_changes(outcome.preview)
    if len(changes) > consequences.MOST_LISTED:
        frame.download(
            f"All {len(changes):,} changes (CSV)",
            lambda: csv_bytes([consequences.HEADS, *changes]),
            file_name="changes.csv",
            mime="text/csv",
        )
    st.button(
        "Take over",
        key="list_take",
        type="primary",
        disabled=outcome.preview.nothing,
        on_click=_take,
        args=(live, outcome, outcome.preview),
    )
    messages.answered(TAKE)


def _whole(live: Live, brought: Brought) -> None:
    name = f"list_whole_{live.key}_{brought_list.turn(live)}"
    widget = state.inject(name, brought.whole, brought.whole)
    st.checkbox(
        "Remove what the list does not name",
        value=widget.first,
        key=widget.key,
        help="In the sheets that the list has; other sheets stay as they are.",
        on_change=_choose_whole,
        args=(live, widget.key),
    )


def _choose_whole(live: Live, widget: str) -> None:
    """Callback: whether what the list does not name is removed."""
    brought = brought_list.of(live)
    if state.changed(widget) and brought is not None:
        brought_list.keep(live, brought.with_whole(whole=bool(state.get(widget))))


def _faults(draft: Draft, found: ReadList) -> None:
    faults = draft.faults
    st.error(
        f"{counted(len(faults) + draft.unlisted, 'fault')}. Correct the list, or its columns above: "
        "it is taken over as a whole or not at all."
    )
    titles = {matched.sheet: matched for matched in found.matched if matched.sheet}
    rows = [_fault_row(fault, titles) for fault in faults[:MOST_FAULTS]]
    tables.table(rows, key="list_faults", alt="Faults of the list")
    if len(faults) > MOST_FAULTS:
        st.caption(f"{len(faults) - MOST_FAULTS:,} more are not listed.")


def _fault_row(fault: Fault | CellFault, titles: dict[str, Any]) -> dict[str, str]:
    """A fault at its place in the list: title of the table, and the head as the list has it."""
    if isinstance(fault, Fault):
        return {"Sheet": NONE, "Row": NONE, "Column": fault.place, "Found": fault.found, "Allowed": fault.allowed}
    matched = titles[fault.sheet]
    own = next((match.head for match in matched.matches if match.key == fault.key), "")
    return {
        "Sheet": matched.table.title,
        "Row": str(fault.row),
        "Column": own or f"{column(fault.sheet, fault.key).head}, which the list does not have",
        "Found": fault.found,
        "Allowed": fault.allowed,
    }


def _take(live: Live, outcome: Outcome, shown: Preview) -> None:
    """Callback: store what the preview showed, as one event."""

    def deed() -> None:
        if brought_list.of(live) is not outcome.brought or outcome.draft.plant is None:
            raise Refused("list", [Fault("list", "its columns were changed meanwhile", "look at the preview again")])
        remembered = outcome.to_remember().plain()
        plant_setup.save(live, state.person(), outcome.draft.plant, seen=outcome.seen, columns=remembered)
        brought_list.put_away(live)

    messages.attempt(deed, f"Taken over: {consequences.summary(shown)}", TAKE)


page = frame.screen(_draw, needs=plant_data.Body.PERMISSION)
