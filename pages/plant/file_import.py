"""Import of a plant file, into the plant of its name or as a further plant, after a preview of what it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import streamlit as st

from checks.access.roles import MAY, NotAllowed
from checks.events.answering import answer
from checks.events.plant import plant_data
from checks.journal.errors import StoreUnavailable
from checks.plantfile import plant_file
from checks.plantfile.plant import Asked, Plant
from checks.recording import plant_import, plants
from checks.recording.plant_setup import DataChangedMeanwhile
from checks.text.faults import Refused
from pages.cached import database
from pages.plant import file_preview
from pages.presentation.wording import counted, escaped
from pages.ui import frame, messages, state

READ = "plant file read"
"""Session key of the file that was read last."""


@dataclass(frozen=True, slots=True)
class _File:
    """A file as it was read: the plant in it, the same without answers, or why it is refused."""

    upload: str
    plant: Plant | None
    data_only: Plant | None
    refused: Refused | None


def upload() -> None:
    """Draw the upload box."""
    st.file_uploader("Import a plant file (YAML, format 1 or 2)", key="plant_upload")


def draw() -> None:
    """Draw what becomes of the file in the upload box, and the button that imports it."""
    handed: Any = state.get("plant_upload")
    if handed is None or not messages.has_name("An import is recorded with your name", "import"):
        return
    file = _read(handed)
    plant = _taken(file)
    if plant is None:
        _refused(file.refused)
        return
    seen, ticked = None, dict[Asked, int]()
    key = next((key for key, name in database.store().plants().items() if name == plant.plant.name), None)
    if key is None:
        st.markdown(f"This file makes a further plant, **{escaped(plant.plant.name)}**: {_content(plant)}.")
    elif state.person().may_everywhere(plant_data.Body.PERMISSION):
        seen, ticked = file_preview.draw(database.live(key), plant)
    if st.button("Import", key="import", type="primary"):
        _import(plant, ticked, seen)
    messages.answered("import")


def _read(handed: Any) -> _File:
    """The file in the upload box, read once."""
    file: _File | None = state.get(READ)
    if file is None or file.upload != handed.file_id:
        try:
            with st.spinner("Reading and checking the file …"):
                file = _file(handed.file_id, plant_file.from_bytes(handed.name, handed.getvalue()))
        except Refused as refused:
            file = _File(handed.file_id, None, None, refused)
        state.put(READ, file)
    return file


def _file(upload: str, plant: Plant) -> _File:
    return _File(upload, plant, plant.model_copy(update={"answers": []}), None)


def _taken(file: _File) -> Plant | None:
    """What the person may import of a file: without the answers where they may not answer, which is said."""
    person = state.person()
    if file.plant is None or not file.plant.answers or person.may_everywhere(answer.Body.PERMISSION):
        return file.plant
    if not person.may_everywhere(plant_data.Body.PERMISSION):
        return file.plant  # refused as a whole
    answers = counted(len(file.plant.answers), "answer")
    st.warning(
        f"The plant data of this file are imported, its {answers} not: answers are imported by a "
        f"{' or '.join(MAY[answer.Body.PERMISSION])}, who may give them. Let one of them import the file as well."
    )
    return file.data_only


def _refused(refused: Refused | None) -> None:
    if refused is not None:
        st.error(f"Import rejected, nothing changed: {len(refused.faults)} faults in the file.")
        st.code("\n".join(refused.lines()), language=None, wrap_lines=True)


def _content(plant: Plant) -> str:
    counts = ((len(plant.functions), "function"), (len(plant.groups), "group"), (len(plant.answers), "answer"))
    return ", ".join(counted(number, word) for number, word in counts)


def _import(plant: Plant, ticked: dict[Asked, int], seen: int | None) -> None:
    try:
        with st.spinner("Storing …"):
            key = plant_import.import_plant(database.store(), state.person(), plant, ticked=ticked, seen=seen)
    except (Refused, NotAllowed, StoreUnavailable, DataChangedMeanwhile) as error:
        messages.say("error", str(error), "import")
        return
    state.take(READ)
    messages.say("success", f"{plant.plant.name} is stored: {len(plant.groups)} groups, {len(plant.answers)} answers.")
    frame.go("plant", plant=plants.address_of(database.store(), key))
