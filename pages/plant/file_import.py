"""Import of a plant file, into the plant of its name or as a further plant."""

from __future__ import annotations

import streamlit as st

from checks.access.roles import NotAllowed
from checks.journal.errors import StoreUnavailable
from checks.plantfile import plant_file
from checks.recording import plant_import, plants
from checks.text.faults import Refused
from pages.presentation.wording import escaped
from pages.ui import caches, frame, messages, state


def draw() -> None:
    """Draw the upload box, and what becomes of the file in it."""
    upload = st.file_uploader("Import a plant file (YAML, format 1 or 2)", type=["yaml", "yml"], key="plant_upload")
    if upload is None or not messages.has_name("An import is recorded with your name", "import"):
        return
    if st.button("Import", key="import", type="primary"):
        _import(upload.name, upload.getvalue())


def _import(name: str, raw: bytes) -> None:
    try:
        with st.status("Reading and checking the file …") as status:
            plant = plant_file.from_bytes(name, raw)
            status.update(label="Storing …")
            key = plant_import.import_plant(caches.store(), state.person(), plant)
    except Refused as refused:
        st.error(f"Import rejected, nothing changed: {len(refused.faults)} faults in the file.")
        st.code("\n".join(refused.lines()), language=None, wrap_lines=True)
        return
    except (NotAllowed, StoreUnavailable) as error:
        st.error(escaped(str(error)))
        return
    messages.say("success", f"{plant.plant.name} is stored: {len(plant.groups)} groups, {len(plant.answers)} answers.")
    frame.go("plant", plant=plants.address_of(caches.store(), key))
