"""Actions of the valid plant, and strategies that draw them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from checks.actions.action_rules import Action
from tests.checks.draws import texts

RAISED, TODAY = date(2025, 3, 4), date(2025, 10, 1)
FIELDS: dict[str, Any] = {
    "id": "A-001",
    "what": "Separate the taps of the reactor pressure transmitters",
    "system": "S30",
    "questions": [{"question": "SEP4", "of": "group:pt-301"}, {"question": "PRO1", "of": "plant"}],
    "answer_from": "partly",
    "answer_to": "met",
    "owner": "instrument engineer",
    "due": date(2025, 9, 1),
    "interim": "weekly comparison of the three readings",
    "change": "MOC-25-009",
    "raised_on": RAISED,
    "raised_by": "facilitator",
}
ENDS: dict[str, dict[str, Any]] = {
    "open": {},
    "done": {"state": "done"},
    "closed": {
        "state": "closed",
        "evidence": "walk-down 31",
        "closed_on": date(2025, 8, 1),
        "verifier": "technical authority",
    },
    "dropped": {"state": "dropped", "reason": "the drum is taken out", "closed_on": date(2025, 8, 1)},
}
QUESTIONS = (
    {"question": "SEP4", "of": "group:pt-301"},
    {"question": "PRO1", "of": "plant"},
    {"question": "ASM1", "of": "system:S40"},
    {"question": "Z01", "of": "zone:sis"},
    {"question": "SR 1.1 RE 1", "of": "zone:field"},
)


def action(**fields: Any) -> Action:
    """An action of the valid plant, valid except for the given fields."""
    return Action.model_validate({**FIELDS, **fields})


def in_state(state: str, **fields: Any) -> Action:
    """The action in one of the four states, with the fields that this state needs."""
    return action(**{**ENDS[state], **fields})


any_text = texts(300)
sentences = texts(150, 1).filter(str.strip)


@st.composite
def actions(draw: st.DrawFn, number: int = 1) -> Action:
    """Valid actions of the valid plant in any state, with texts of any script."""
    state = draw(st.sampled_from(list(ENDS)))
    raised = RAISED + timedelta(days=draw(st.integers(-3000, 0)))
    end = {name: draw(sentences) for name in ENDS[state] if name in ("evidence", "reason")}
    return in_state(
        state,
        **end,
        id=f"A-{number:03d}",
        what=draw(sentences),
        system=draw(st.sampled_from([None, "S30", "S40"])),
        questions=draw(st.lists(st.sampled_from(QUESTIONS), max_size=4, unique_by=str)),
        answer_from=draw(st.sampled_from(["unknown", "not-met", "partly"])),
        answer_to=draw(st.sampled_from(["met", "equivalent", "not-applicable"])),
        owner=draw(sentences),
        due=raised + timedelta(days=draw(st.integers(0, 3000))),
        interim=draw(any_text),
        change=draw(texts(100)),
        raised_on=raised,
        raised_by=draw(sentences),
        reopened=draw(st.integers(0, 9)),
    )
