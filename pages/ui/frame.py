"""Frame of every screen: plant, person and roles, messages, and the notice when the store is unavailable."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import streamlit as st

from checks.access.roles import MAY, Person
from checks.access.sign_ins import NotSignedIn
from checks.assessment.cautions import CAUTIONS, method
from checks.events.signoff import export
from checks.journal.errors import StoreUnavailable
from checks.state.live import Live, State
from checks.visibility import redaction
from pages.cached import later
from pages.presentation.palette import DARK, LIGHT, Palette
from pages.presentation.wording import escaped
from pages.ui import addresses, head, messages, places, plant_of_address, state, style
from pages.ui.messages import answered, ask_name
from pages.web import identity, run_mode
from pages.web.file_transfers import Building


def palette() -> Palette:
    """Colours of the theme that this browser shows."""
    return DARK if st.context.theme.type == "dark" else LIGHT


def _building() -> Building:
    """That of this browser session."""
    found: Building | None = state.get("building")
    if found is None:
        state.put("building", found := Building())
    return found


Shown = Callable[[State], tuple[object, ...]]
"""Gives the part of a state that a screen shows, to be compared with that of a later state."""


@dataclass(frozen=True, slots=True)
class Screen:
    """A page. ``needs`` is the permission of ``MAY`` that its reader must have; None for everybody.

    ``place`` is the query parameter that leads to a place on it; empty if it has none. ``answers``: people answer on it, one question
    after the other.
    """

    draw: Callable[[Live, State], Shown | None]
    needs: str | None
    place: str
    answers: bool

    def for_(self, person: Person) -> bool:
        """Whether a person may use it."""
        return self.needs is None or person.may(self.needs)

    def __call__(self) -> None:
        """Draw the head, the screen for the present state, messages, and the notice when the store is unavailable."""
        style.put(palette())
        messages.begin()
        _lead()
        person = state.person()
        watch, awaited = None, later.begin()
        try:
            plant, live, current = plant_of_address.present(person)
            warming = later.warming()
            bar = head.draw(person, plant, live, current)
            top = st.empty()
            shown = self._drawn(live, current, person)
            head.navigate(bar, person, current)
            with top:
                answered()
            incomplete = Incomplete(warming, awaited, hurried=_newer(current) and self.answers)
            watch = _watch(live, current, shown, person, incomplete)
        except plant_of_address.NoPlant:
            addresses.entry("start").screen.body(person)
        except state.Gone as gone:  # the plant itself
            addresses.entry("start").screen.body(person, f"Plant {gone.value} is not in this database.")
        except StoreUnavailable as error:
            st.error(escaped(str(error)))
        _foot()
        _settle()
        if watch is not None:
            watch()  # last: when a run overtakes it, Streamlit would draw it in the place of the element that follows

    def _drawn(self, live: Live, current: State, person: Person) -> Shown | None:
        """Draw the screen, or why there is nothing to show here; returns what is shown."""
        if not self.for_(person):
            _not_for(str(self.needs))
            return None
        try:
            return self.draw(live, current)
        except state.Gone as gone:
            places.say_gone(gone, live, current)
            return None


@dataclass(frozen=True, slots=True)
class WithoutPlant:
    """A page that needs no plant."""

    draw: Callable[[], None]
    needs = None
    place = ""

    def for_(self, _person: Person) -> bool:
        """Whether a person may use it."""
        return True

    def __call__(self) -> None:
        """Draw the head, the page, messages."""
        style.put(palette())
        _lead()
        self.body(state.person())
        _foot()
        _settle()

    def body(self, person: Person, warning: str = "") -> None:
        """Draw it below the head of a screen that has no plant to show, with a warning where the address names one."""
        try:
            head.draw(person, None, None, None)
            top = st.empty()
            if warning:
                st.warning(escaped(warning))
            self.draw()
            with top:
                answered()
        except StoreUnavailable as error:
            st.error(escaped(str(error)))


def _lead() -> None:
    """Go to the plant to which a callback leads, on its first screen or the one that the callback names."""
    if plant := state.take("lead to plant"):
        go(state.take("lead to screen") or "plant", plant=plant)


def _settle() -> None:
    """Write the place into the address, and its name into the title of the page."""
    state.settle()
    title = head.title(state.screen())
    if title != state.get("title"):
        state.put("title", title)
        st.set_page_config(page_title=title)


def screen(
    draw: Callable[[Live, State], Shown | None], *, needs: str | None = None, place: str = "", answers: bool = False
) -> Screen:
    """A page that draws a screen.

    ``draw`` gets a state that holds only what the person at this browser may see; ``needs`` is the permission required.
    ``draw`` may return what it shows of a state: the screen is then drawn again only when that part changes. ``place`` is the
    query parameter that leads to a place on it; ``answers``: people answer on it.
    """
    return Screen(draw, needs, place, answers)


def _not_for(needs: str) -> None:
    roles = ", ".join(MAY[needs])
    todo = "Ask the server administrator for it." if run_mode.serving() else "Select your role at the top right."
    st.info(f"Nothing is shown here: one of these roles is needed to {needs}: {roles}. {todo}")


@dataclass(frozen=True, slots=True)
class Incomplete:
    """What a screen was drawn without: the bands, while the program was ``warming``, and the results that it ``awaited``.

    ``hurried``: something was just stored by people who answer, and the next answer may follow at once.
    """

    warming: bool
    awaited: later.Awaited
    hurried: bool

    @property
    def there(self) -> bool:
        """Whether some of it is there now; what failed is computed again when the reader next does something."""
        return later.warming() != self.warming or self.awaited.there


def _watch(live: Live, drawn: State, shown: Shown | None, reader: Person, incomplete: Incomplete) -> Callable[[], None]:
    """A fragment that checks every 1.5 s whether the shown data, theme or rights changed, and then draws again.

    It does so too once what the screen was drawn without is there. That is computed at once, or from the first check on, so that it
    does not slow the next answer of a team in a hurry.
    """
    colours = palette()
    known = [drawn.version]
    building = _building()
    hurried = [True] if incomplete.hurried else []
    whole = shown is None or not redaction.sees_answers(reader)

    @st.fragment(run_every=1.5)
    def watch() -> None:
        if building.lasts:
            return
        try:
            if hurried:
                hurried.clear()
            else:
                incomplete.awaited.start()
            version = live.store.version(live.key)
            if palette() != colours or state.person().rights != reader.rights or incomplete.there:
                _redraw()
            if version == known[0]:
                return
            # No screen shows an export, and drawing again would break off a download that follows.
            changed = any(event.kind != export.Body.KIND for event in live.store.events(live.key, after=known[0].last))
            if changed and (whole or shown is None or shown(redaction.seen(live.state(), reader)) != shown(drawn)):
                _redraw()
            known[0] = version
        except StoreUnavailable as error:
            st.error(escaped(str(error)))

    return watch


def _newer(current: State) -> bool:
    """Whether something was stored since this browser last drew a screen."""
    before = state.get("version drawn", current.version)
    state.put("version drawn", current.version)
    return bool(before != current.version)


def _redraw() -> None:
    """Draw again without any action of the reader: on a server this run does not count as activity."""
    messages.say_again()
    state.put("by_itself", True)  # noqa: FBT003  (a value to store, not a flag)
    st.rerun()


def _foot() -> None:
    with st.expander("What these numbers mean, and what they do not"):
        st.markdown("\n".join(f"- {caution}" for caution in CAUTIONS))


def _grant() -> Callable[[], None]:
    """A check to run later, outside a run of this browser; it raises NotSignedIn if roles or sign-in have changed."""
    if not run_mode.serving():
        return lambda: None
    claims, reader = identity.claims(), state.person()

    def check() -> None:
        if identity.person(claims, writer=reader.writer).rights != reader.rights:
            raise NotSignedIn("Your roles have changed since this was shown: open the screen again.")

    return check


def download(
    label: str, build: Callable[[], str | bytes], journal: Callable[[], object] | None = None, **how: Any
) -> None:
    """Draw a download button. The file is built at the click, and only while the reader still has the rights to it.

    ``journal`` enters the download in the journal, where ``build`` does not.
    """
    if not run_mode.serving() and not state.who():
        why = "A download is recorded, and everything recorded here carries a name. Give yours first"
        st.button(label, key=f"unnamed {label}", on_click=ask_name, args=(why, lambda: None, label))
        answered(label)
        return
    granted, building = _grant(), _building()

    def built() -> str | bytes:
        with building:
            granted()
            content = build()
            if journal is not None:
                journal()
            return content

    st.download_button(label, data=built, on_click="ignore", **how)


def method_note(current: State) -> None:
    """Draw the method and conventions of the results in small print."""
    st.caption(escaped(method(current.plant)))


def nothing_to_choose(current: State, kind: str) -> None:
    """Say why there is nothing to choose from: the plant has none of this kind, or the reader's team has none."""
    if current.within is None:
        st.info(f"No {kind} is described yet: set it up under Plant.")
    else:
        st.info(f"No {kind} of this plant belongs to your team. The server administrator keeps the list of people.")


def link(url_path: str, label: str, **where: str) -> None:
    """Draw a link to another screen, with query parameters."""
    page = addresses.entry(url_path).page
    st.page_link(page, label=escaped(label), query_params={**head.plant_in_address(), **where})


def go(url_path: str, **where: str) -> None:
    """Go to another screen, with query parameters."""
    st.switch_page(addresses.entry(url_path).page, query_params={**head.plant_in_address(), **where})
