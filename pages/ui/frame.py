"""Frame of every screen: plant, person and roles, messages, and the notice when the store is unavailable."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Any

import streamlit as st

from checks.access.roles import MAY, ROLES, Person
from checks.assessment.cautions import CAUTIONS, method
from checks.events.signoff import export
from checks.journal.errors import StoreUnavailable
from checks.state.live import Live, State
from checks.visibility import redaction
from pages.presentation.palette import DARK, LIGHT, Palette
from pages.presentation.wording import escaped
from pages.ui import addresses, caches, signing_in, state
from pages.ui.messages import answered
from pages.web import run_mode

_STYLE = """<style>
html, body, [data-testid="stMarkdownContainer"] { font-variant-numeric: tabular-nums; }
[data-testid="stMainBlockContainer"] { padding-top: 4.2rem; padding-bottom: 3rem; max-width: 1320px; }
[data-testid="stMarkdownContainer"] h2 { padding: 0.1rem 0 0.3rem; font-size: 1.5rem; }
.st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.5rem; line-height: 1.3; padding: 0 0 0.4rem; }
[data-testid="stMarkdownContainer"] h3 { font-size: 1.15rem; padding: 0.6rem 0 0.2rem; }
[data-testid="stMarkdownContainer"] table { font-size: 0.9rem; }
[data-testid="stMarkdownContainer"] :is(td, th) { padding: 0.18rem 0.55rem; white-space: nowrap; }
[data-testid="stCaptionContainer"] { opacity: 1; }
[data-testid="stCaptionContainer"] * { color: QUIET; }
[data-testid="stBaseButton-primary"]:not(:disabled) * { color: PAPER; }
@media (max-width: 640px) { .st-key-question [data-testid="stMarkdownContainer"] h3 { font-size: 1.2rem; } }
</style>"""


def palette() -> Palette:
    """Colours of the theme that this browser shows."""
    return DARK if st.context.theme.type == "dark" else LIGHT


Shown = Callable[[State], tuple[object, ...]]
"""Gives the part of a state that a screen shows, to be compared with that of a later state."""


@dataclass(frozen=True, slots=True)
class Screen:
    """A page. ``needs`` is the permission of ``MAY`` that its reader must have; None for everybody."""

    draw: Callable[[Live, State], Shown | None]
    needs: str | None

    def for_(self, person: Person) -> bool:
        """Whether a person may use it."""
        return self.needs is None or person.may(self.needs)

    def __call__(self) -> None:
        """Draw the head, the screen for the present state, messages, and the notice when the store is unavailable."""
        st.html(_STYLE.replace("QUIET", palette().quiet).replace("PAPER", palette().paper))
        person = state.person()
        watch = None
        try:
            live, current = caches.present(person)
            _head(current, person)
            top = st.empty()
            shown = None
            if self.for_(person):
                shown = self.draw(live, current)
            else:
                _not_for(str(self.needs))
            with top:
                answered()
            watch = _watch(live, current, shown, person)
        except StoreUnavailable as error:
            st.error(escaped(str(error)))
        _foot()
        if watch is not None:
            watch()  # last: when a run overtakes it, Streamlit would draw it in the place of the element that follows


def screen(draw: Callable[[Live, State], Shown | None], *, needs: str | None = None) -> Screen:
    """A page that draws a screen.

    ``draw`` gets a state that holds only what the person at this browser may see; ``needs`` is the permission required.
    ``draw`` may return what it shows of a state: the screen is then drawn again only when that part changes.
    """
    return Screen(draw, needs)


def _not_for(needs: str) -> None:
    roles = ", ".join(MAY[needs])
    todo = "Ask the server administrator for it." if run_mode.serving() else "Select your role at the top right."
    st.info(f"Nothing is shown here: one of these roles is needed to {needs}: {roles}. {todo}")


def _head(current: State, person: Person) -> None:
    about = current.plant.plant
    left, right = st.columns([4, 1], vertical_alignment="center")
    note = f" — {escaped(about.note)}" if about.note else ""
    left.caption(f"**{escaped(about.name)}**{note}")
    if run_mode.serving():
        with right:
            signing_in.head(person)
        return
    with right.popover(escaped(state.who()) or "Name and role", width="stretch"):
        st.text_input(
            "Your name or role",
            key="who_box",
            value=state.who(),
            max_chars=200,
            help="Self-declared: there is no sign-in here. It is stored with everything you record.",
            on_change=lambda: state.put("who", state.get("who_box")),
        )
        st.multiselect(
            "Your roles",
            ROLES,
            key="roles_box",
            default=state.roles(),
            help="Roles decide what you may do. The owner is the asset owner (duty holder). A signer must be independent of the work.",
            on_change=lambda: state.put("roles", state.get("roles_box")),
        )


def _watch(live: Live, drawn: State, shown: Shown | None, reader: Person) -> Callable[[], None]:
    """A fragment that checks every 1.5 s whether the shown data, theme or rights changed, and then draws again."""
    colours = palette()
    known = [drawn.version]
    whole = shown is None or not redaction.sees_answers(reader)

    @st.fragment(run_every=1.5)
    def watch() -> None:
        try:
            version = live.store.version(live.key)
            if palette() != colours or state.person().rights != reader.rights:
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


def _redraw() -> None:
    """Draw again without any action of the reader: on a server this run does not count as activity."""
    state.put("by_itself", True)  # noqa: FBT003  (a value to store, not a flag)
    st.rerun()


def _foot() -> None:
    with st.expander("What these numbers mean, and what they do not"):
        st.markdown("\n".join(f"- {caution}" for caution in CAUTIONS))


def download(
    label: str, build: Callable[[], str | bytes], journal: Callable[[], object] | None = None, **how: Any
) -> None:
    """Draw a download button. The file is built at the click, and only while the reader still has the rights to it.

    ``journal`` enters the download in the journal, where ``build`` does not.
    """
    granted = state.grant()

    def built() -> str | bytes:
        granted()
        content = build()
        if journal is not None:
            journal()
        return content

    st.download_button(label, data=built, on_click="ignore", **how)


def method_note(current: State) -> None:
    """Draw the method and conventions of the results in small print."""
    st.caption(escaped(method(current.plant)))


def place(options: Collection[str], first: str) -> int:
    """Index at which a chooser starts: that of ``first``, or 0 where it is no longer an option."""
    return list(options).index(first) if first in options else 0


def choose(
    label: str, name: str, options: dict[str, str], *, default: str | None = None, clear: tuple[str, ...] = ()
) -> str:
    """Draw a chooser whose value is kept in the address as ``?name=…``; returns the chosen option."""
    chosen = state.chosen(name, list(options), default)
    widget = state.inject(f"choose_{name}", chosen, chosen)
    st.selectbox(
        label,
        list(options),
        index=place(options, widget.first),
        key=widget.key,
        format_func=options.__getitem__,
        on_change=state.follow,
        args=(name, widget.key, *clear),
    )
    return chosen


def nothing_to_choose(current: State, kind: str) -> None:
    """Say why there is nothing to choose from: the plant has none of this kind, or the reader's team has none."""
    if current.within is None:
        st.info(f"No {kind} is described yet: import a plant file on the Plant screen.")
    else:
        st.info(f"No {kind} of this plant belongs to your team. The server administrator keeps the list of people.")


def link(url_path: str, label: str, **where: str) -> None:
    """Draw a link to another screen, with query parameters."""
    st.page_link(addresses.page(url_path), label=escaped(label), query_params={**_plant(), **where})


def go(url_path: str, **where: str) -> None:
    """Go to another screen, with query parameters."""
    st.switch_page(addresses.page(url_path), query_params={**_plant(), **where})


def _plant() -> dict[str, str]:
    key = state.at("plant")
    return {"plant": key} if key else {}
