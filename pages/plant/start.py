"""Begin: the ways to a plant, for a database without one and for a further plant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from checks.events.plant import plant_data
from checks.recording import plants
from checks.recording.plants import ListedPlant
from demo import load
from pages.cached import database
from pages.plant import file_import
from pages.ui import frame, state
from pages.ui.forms import Form, Told


@dataclass(frozen=True, slots=True)
class Way:
    """One way to a plant: its title, what it is, and what draws it."""

    title: str
    text: str
    draw: Callable[[], None]


def _demo() -> None:
    known = next((plant for plant in database.listed() if plant.demo), None)
    if known is not None and not known.archived:
        frame.link("plant", f"Open {known.name}", plant=known.address)
    elif known is not None:
        frame.link("plant", f"Open {known.name}, which is archived", plant=known.address)
    elif not state.person().may_everywhere(plant_data.Body.PERMISSION):
        st.caption("The demo is loaded by a facilitator, a team member or the owner.")
    elif st.button("Look at the demo", key="look_at_demo", type="primary"):
        with st.spinner("Loading the demo with its history …"):
            key = load.into(database.store())
        frame.go("plant", plant=plants.address_of(database.store(), key))


def _empty() -> None:
    form = Form("begin_plant", outside=True)
    st.text_input("Name of the plant", key=form.key("name"), max_chars=200)
    form.button("Begin an empty plant", _begin, "The plant is there. Now describe it.")


def _begin(fields: Told) -> None:
    key = plants.begin(database.store(), state.person(), fields["name"] or "")
    state.put("lead to plant", plants.address_of(database.store(), key))


def _spreadsheet() -> None:
    form = Form("begin_with_list", outside=True)
    st.text_input("Plant name", key=form.key("name"), max_chars=200)
    form.button("Begin, and bring the list", _begin_with_list, "The plant is there. Now bring its list.")


def _begin_with_list(fields: Told) -> None:
    _begin(fields)
    state.put("lead to screen", "bring")


WAYS = (
    Way("Look at the demo", "An invented plant with five years of history, for trying things out. Not for use.", _demo),
    Way("Begin an empty plant", "Give it a name. You describe systems, groups and functions next.", _empty),
    Way(
        "Bring a spreadsheet",
        "Any list of devices, groups or functions, as XLSX or CSV; or our template.",
        _spreadsheet,
    ),
    Way(
        "Bring a plant file",
        "A YAML file with devices, groups, systems and functions, with or without answers.",
        file_import.upload,
    ),
)
"""The ways to a plant, in the order of the screen."""


def _draw() -> None:
    listed = database.listed()
    st.markdown("## Add a plant" if listed else "## Begin with a plant")
    for column, way in zip(st.columns(len(WAYS), border=True), WAYS, strict=True):
        with column:
            st.markdown(f"### {way.title}")
            st.markdown(way.text)
            way.draw()
    file_import.draw()
    _listed("Plants in this database", [plant for plant in listed if not plant.archived])
    _listed("Archived plants", [plant for plant in listed if plant.archived])


def _listed(head: str, some: list[ListedPlant]) -> None:
    if not some:
        return
    st.markdown(f"### {head}")
    for plant in some:
        frame.link("plant", f"{plant.name}{' (demo)' if plant.demo else ''}", plant=plant.address)


page = frame.WithoutPlant(_draw)
