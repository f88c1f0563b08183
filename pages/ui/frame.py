"""What stands around every screen: the plant, who sits here, messages, and what to do when the store is away."""

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
from pages.presentation.wording import plain
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
"""What a screen shows of a state, to be compared with what it shows of a later one."""


@dataclass(frozen=True, slots=True)
class Screen:
    """A page that can be shown. ``needs`` names what its reader must be allowed to do; None where everybody may look."""

    draw: Callable[[Live, State], Shown | None]
    needs: str | None

    def for_(self, person: Person) -> bool:
        """Whether a person may use it."""
        return self.needs is None or person.may(self.needs)

    def __call__(self) -> None:
        """Draw it: head, present state, messages, and the sentence when the store is away."""
        st.html(_STYLE.replace("QUIET", palette().quiet).replace("PAPER", palette().paper))
        person = state.person()
        look = None
        try:
            live, now = caches.present(person)
            _head(now, person)
            top = st.empty()
            shown = None
            if self.for_(person):
                shown = self.draw(live, now)
            else:
                _not_for(str(self.needs))
            with top:
                answered()
            look = _look(live, now, shown, person)
        except StoreUnavailable as error:
            st.error(plain(str(error)))
        _foot()
        if look is not None:
            look()  # last: when a run overtakes it Streamlit drops its place, and would put it in that of what follows


def screen(draw: Callable[[Live, State], Shown | None], *, needs: str | None = None) -> Screen:
    """Make a page of a screen.

    The state holds only what the person at this browser may see; ``needs`` names what the screen cannot do without.
    A screen that shows a part of the state gives back which, so that it is drawn again only when that part changed.
    """
    return Screen(draw, needs)


def _not_for(needs: str) -> None:
    roles = ", ".join(MAY[needs])
    ask = "Ask whoever runs this server for it." if run_mode.serving() else "Choose at the top right what you act as."
    st.info(f"Nothing is shown here: to {needs} takes one of the roles {roles}. {ask}")


def _head(now: State, person: Person) -> None:
    about = now.plant.plant
    left, right = st.columns([4, 1], vertical_alignment="center")
    note = f" — {plain(about.note)}" if about.note else ""
    left.caption(f"**{plain(about.name)}**{note}")
    if run_mode.serving():
        with right:
            signing_in.head(person)
        return
    with right.popover(plain(state.who()) or "Who answers?", width="stretch"):
        st.text_input(
            "Your name or role",
            key="who_box",
            value=state.who(),
            max_chars=200,
            help="Self-declared: nobody signs in here. It is stored with everything you do.",
            on_change=lambda: state.put("who", state.get("who_box")),
        )
        st.multiselect(
            "You act as",
            ROLES,
            key="roles_box",
            default=state.roles(),
            help="What you may do follows from it. Who signs must have had no hand in the work.",
            on_change=lambda: state.put("roles", state.get("roles_box")),
        )


def _look(live: Live, drawn: State, shown: Shown | None, reader: Person) -> Callable[[], None]:
    """Looks every 1.5 s, and draws again when others changed what is shown, or the reader's colours, roles or sign-in."""
    colours = palette()
    known = [drawn.version]
    whole = shown is None or not redaction.sees_answers(reader)

    @st.fragment(run_every=1.5)
    def look() -> None:
        try:
            version = live.store.version(live.key)
            if palette() != colours or state.person().rights != reader.rights:
                _by_itself()
            if version == known[0]:
                return
            # No screen shows an export, and drawing anew would take the next download away.
            told = any(one.kind != export.Body.KIND for one in live.store.events(live.key, after=known[0].last))
            if told and (whole or shown is None or shown(redaction.seen(live.state(), reader)) != shown(drawn)):
                _by_itself()
            known[0] = version
        except StoreUnavailable as error:
            st.error(plain(str(error)))

    return look


def _by_itself() -> None:
    """Draw again although nobody did anything: on a server this is no action of the reader."""
    state.put("by_itself", True)  # noqa: FBT003  (a value like any other)
    st.rerun()


def _foot() -> None:
    with st.expander("What these numbers mean, and what they do not"):
        st.markdown("\n".join(f"- {one}" for one in CAUTIONS))


def download(
    label: str, build: Callable[[], str | bytes], journal: Callable[[], object] | None = None, **how: Any
) -> None:
    """A button that hands out a file; it is built at the click, and only while the reader may still have it.

    ``journal`` keeps that it was handed out, where building does not.
    """
    granted = state.grant()

    def built() -> str | bytes:
        granted()
        made = build()
        if journal is not None:
            journal()
        return made

    st.download_button(label, data=built, on_click="ignore", **how)


def rule(now: State, *remarks: str) -> None:
    """Method and conventions, to stand beside a result, below what else is to be said in small print."""
    st.caption("\n\n".join((*remarks, plain(method(now.plant)))))


def place(options: Collection[str], first: str) -> int:
    """Where a chooser begins; at its first option where the one it began with is gone."""
    return list(options).index(first) if first in options else 0


def choose(
    label: str, name: str, options: dict[str, str], *, default: str | None = None, clear: tuple[str, ...] = ()
) -> str:
    """A chooser that the address follows: ``?name=…`` says where one is and survives a restart."""
    current = state.chosen(name, list(options), default)
    widget = state.inject(f"choose_{name}", current, current)
    st.selectbox(
        label,
        list(options),
        index=place(options, widget.first),
        key=widget.key,
        format_func=options.__getitem__,
        on_change=state.follow,
        args=(name, widget.key, *clear),
    )
    return current


def nothing(now: State, kind: str) -> None:
    """Say why there is nothing to choose from: nothing of this kind is described, or none of it is the reader's."""
    if now.within is None:
        st.info(f"No {kind} is described yet: import a plant file on the Plant screen.")
    else:
        st.info(f"No {kind} of this plant belongs to your team. Whoever runs this server keeps the list.")


def lead(url_path: str, label: str, **where: str) -> None:
    """A link to another screen, at a place in it."""
    st.page_link(addresses.page(url_path), label=plain(label), query_params={**_plant(), **where})


def go(url_path: str, **where: str) -> None:
    """Go to another screen, at a place in it."""
    st.switch_page(addresses.page(url_path), query_params={**_plant(), **where})


def _plant() -> dict[str, str]:
    named = state.at("plant")
    return {"plant": named} if named else {}
