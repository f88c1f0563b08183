"""The cheapest set made into recorded actions with one press: what will be recorded stands above the button."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import streamlit as st

from checks.events.plant.action import Action
from checks.improvement import actions_of_set
from checks.improvement.actions_of_set import Offer
from checks.improvement.group_model import Step
from checks.state.live import Live, State
from pages.presentation.wording import ANSWERS, counted
from pages.ui import state, tables
from pages.ui.forms import Form

DAYS = 90
"""Days until an action is due, unless another day is given (house rule)."""


def draw(live: Live, current: State, chosen: Sequence[Step], system: str | None) -> None:
    """Draw what would be recorded, and the form."""
    st.markdown("### Make the set into actions")
    person = state.person()
    if not person.may(Action.PERMISSION):
        st.caption("Actions are raised by a facilitator, a team member or the owner: none is offered to your role.")
        return
    offers = actions_of_set.offers(current, person, chosen)
    free = [offer.step for offer in offers if offer.free]
    tables.table([_row(offer) for offer in offers], key="fix_offers", alt="Actions that would be recorded")
    if not free:
        st.caption("Nothing to record: see the last column.")
        return
    form = Form("fix_actions", tuple(free))
    with form.fields():
        left, right = st.columns(2)
        left.text_input("Action owner", key=form.key("owner"), max_chars=200)
        due = current.day + timedelta(days=DAYS)
        right.date_input("Due", value=due, key=form.key("due"), format="YYYY-MM-DD")
        form.button(
            f"Record {counted(len(free), 'action')}",
            lambda fields: actions_of_set.record(
                live, state.person(), free, owner=fields["owner"] or "", due=fields["due"], system=system
            ),
            f"{counted(len(free), 'action')} recorded. Follow them under Due and open.",
        )


def _worded(value: str) -> str:
    """An answer in words; the value of a change as it is."""
    answers: dict[str, str] = {key: text for key, text in ANSWERS.items()}  # noqa: C416  (a dict of other keys for the type checker)
    return answers.get(value, value)


def _row(offer: Offer) -> dict[str, str]:
    recorded = "will be recorded"
    if not offer.free:
        recorded = f"no: {offer.open_action} is open for it" if offer.open_action else f"no: {offer.refused}"
    return {
        "Action": offer.what,
        "From": _worded(offer.value),
        "Expected": _worded(offer.expected),
        "Recorded": recorded,
    }
