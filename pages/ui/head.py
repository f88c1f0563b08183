"""Head of every screen: the plant, search, the person, and the navigation, whose links keep the place."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from checks.access.roles import ROLES, Person
from checks.recording import plants
from checks.recording.plants import ListedPlant
from checks.state.live import Live, State
from checks.visibility import search
from checks.visibility.search import Match
from pages.cached import database
from pages.presentation.wording import escaped, titled
from pages.ui import addresses, messages, signing_in, state
from pages.ui.forms import Form
from pages.web import remembered, run_mode

PRODUCT = "Shared-Cause Review"
SHOWN_ON = {
    "function": "redundancy",
    "group": "common-cause",
    "tag": "common-cause",
    "device": "common-cause",
    "system": "sign-off",
    "zone": "zones",
}
"""The screen of each kind of thing that is found, except questions."""


def draw(person: Person, plant: ListedPlant | None, live: Live | None, current: State | None) -> DeltaGenerator:
    """Draw the head; returns the place of the navigation, which is drawn once the screen has settled where it is.

    Without a plant only the product and the person are shown.
    """
    with st.container(horizontal=True, vertical_alignment="center", key="head"):
        if plant is None or live is None or current is None:
            st.caption(f"**{PRODUCT}**", width="stretch")
        else:
            _name_of(plant, current)
            _plants(live, person, plant)
            _search(current, person)
        _person(person)
    return st.container(horizontal=True, gap="small", key="sections")


def title(url_path: str) -> str:
    """Title of the page in the browser: what the address names, the screen, the plant."""
    listed, plant = addresses.entry(url_path), state.get("plant shown")
    named = plant.name if plant is not None and plant.address == state.at("plant") else PRODUCT
    return " · ".join(part for part in (state.at(listed.screen.place), listed.title, named) if part)


def _name_of(plant: ListedPlant, current: State) -> None:
    about = current.plant.plant
    marks = (about.note, "demo" if plant.demo else "", "archived" if plant.archived else "")
    st.caption(" — ".join([f"**{escaped(about.name)}**", *(escaped(mark) for mark in marks if mark)]), width="stretch")


def _plants(live: Live, person: Person, shown: ListedPlant) -> None:
    """The other plants, and what can be done with this one; drawn only while open, so that a click costs less."""
    folded = st.popover("Plants", key=f"plants_{shown.key}", on_change="rerun")
    if not folded.open:
        return
    with folded:
        for plant in database.listed():
            if not plant.archived and plant.key != shown.key:
                mark = " (demo)" if plant.demo else ""
                st.page_link(
                    addresses.entry("plant").page,
                    label=escaped(f"{plant.name}{mark}"),
                    query_params={"plant": plant.address},
                )
        st.page_link(addresses.entry("start").page, label="Add or bring back a plant")
        if person.may_everywhere("import plant data"):
            _rename(live, shown)
        if person.may_everywhere("archive a plant"):
            _archive(live, shown)


def _rename(live: Live, shown: ListedPlant) -> None:
    form = Form("rename", (shown.key, shown.name), outside=True)
    st.text_input("Name of this plant", shown.name, key=form.key("name"), max_chars=200)
    form.button(
        "Rename",
        lambda fields: plants.rename(live, state.person(), fields["name"] or ""),
        "The plant has its new name. Sign-offs stay valid.",
    )


def _archive(live: Live, shown: ListedPlant) -> None:
    form = Form("archive", (shown.key, shown.archived), outside=True)
    if shown.archived:
        form.button("Bring this plant back", lambda _: plants.bring_back(live, state.person()), "The plant is listed.")
        return
    st.caption("An archived plant leaves the list. Nothing is deleted, and its address still opens it.")
    form.button(
        "Archive this plant",
        lambda _: plants.archive_plant(live, state.person()),
        "The plant is archived. Nothing was deleted.",
    )


def _search(current: State, person: Person) -> None:
    """The search; drawn only while open. Arriving at another address closes it: a match was chosen."""
    folded = st.popover("Search", key=f"search_{state.get('arrivals')}", on_change="rerun")
    if not folded.open:
        return
    with folded:
        text = st.text_input(
            "Function, group, tag, system, zone, device or question", key="search_text", live="300ms", max_chars=200
        )
        here = {name: state.at(name) for name in ("group", "zone")}
        matches = search.find(current, text or "", here=here)
        for match in matches:
            _match(match, person)
        if text and not matches:
            st.caption("Nothing in this plant has these words in its id or name.")


def _match(match: Match, person: Person) -> None:
    url_path = SHOWN_ON.get(match.kind, "common-cause" if match.bank == "common-cause" else "cyber")
    listed, where = addresses.entry(url_path), dict(match.place)
    if url_path == "cyber":
        where["bank"] = match.bank
    if listed.screen.for_(person):
        label = f"{match.kind} {titled(match.key, match.name)}"
        st.page_link(listed.page, label=escaped(label), query_params={**plant_in_address(), **where})


def _person(person: Person) -> None:
    if run_mode.serving():
        signing_in.head(person)
        return
    with st.popover(escaped(person.name) or "Name and role", key="person"):
        name = state.inject("who_box", person.name, person.name)
        st.text_input(
            "Your name or role",
            name.first,
            key=name.key,
            max_chars=remembered.LONGEST_NAME,
            help=messages.NAME_HELP,
            on_change=_introduced,
            args=("name", name.key),
        )
        st.multiselect(
            "Your roles",
            ROLES,
            key="roles_box",
            default=state.roles(),
            help="Roles decide what you may do. The owner is the asset owner (duty holder). A signer must be independent of the work.",
            on_change=_introduced,
            args=("roles", "roles_box"),
        )
        if person.name:
            st.caption("This browser remembers you. That signs nobody in.")
            st.button("Forget me", key="forget_me", on_click=state.forget_me)
    if remembered.is_waiting(token := str(state.get("remember"))):
        st.html(f'<img src="{remembered.PATH}?t={token}" alt="" width="1" height="1">', width="content")


def _introduced(field: str, widget: str) -> None:
    """Callback of the two boxes about the person."""
    value = state.get(widget)
    messages.introduce(**{field: str(value or "").strip() if field == "name" else tuple(value or ())})


def navigate(bar: DeltaGenerator, person: Person, current: State) -> None:
    """Draw the links to the sections, and to the screens of the present one."""
    listed = {path: each for path, each in addresses.entries().items() if each.section and each.screen.for_(person)}
    here = addresses.entry(state.screen()).section
    sections: dict[str, list[str]] = {}
    for path, each in listed.items():
        sections.setdefault(each.section, []).append(path)
    address = state.address()
    known = {*current.systems, *current.zones, *current.groups, *current.plant.functions}
    if "zone" not in address and (group := current.groups.get(address.get("group", ""))) is not None:
        address["zone"] = group.zone or ""
    named = {name: value for name, value in address.items() if value in known} | plant_in_address()
    with bar:
        for section, paths in sections.items():
            label = f"**{section}**" if section == here else section
            st.page_link(listed[paths[0]].page, label=label, query_params=_kept(paths[0], named))
        if len(sections.get(here, [])) > 1:
            with st.container(horizontal=True, gap="small", width="content", key="screens"):
                for path in sections[here]:
                    st.page_link(listed[path].page, label=listed[path].title, query_params=_kept(path, named))


def _kept(url_path: str, named: dict[str, str]) -> dict[str, str]:
    """Query parameters of a link to another screen: the part of the present place, ``named``, that it has too.

    The rest is as it was when that screen was last shown here, if it was at this place.
    """
    place = addresses.entry(url_path).screen.place
    kept = {name: named[name] for name in ("system", place, "plant") if name in named}
    last = state.visited(url_path)
    return last if kept.items() <= last.items() else kept


def plant_in_address() -> dict[str, str]:
    """The plant of the address, as a query parameter."""
    address = state.at("plant")
    return {"plant": address} if address else {}
