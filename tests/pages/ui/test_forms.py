"""A form on its own: what it hands in, and what it refuses to hand in."""

from __future__ import annotations

from typing import Any

import pytest

from checks.text.faults import Refused
from pages.ui import messages, state
from pages.ui.forms import Form
from pages.web import streamlit_workarounds


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the widgets of a browser session hold, without a browser; what was done stands under ``done``."""
    kept: dict[str, Any] = {"done": []}
    own: dict[str, Any] = {}
    monkeypatch.setattr(state, "_own", lambda: own)

    def value(key: str, default: Any = None) -> Any:
        return {**kept, state.OWN: own}.get(key, default)

    monkeypatch.setattr(streamlit_workarounds, "value", value)
    monkeypatch.setattr(messages, "say", lambda kind, text, place="": kept["done"].append((kind, text, place)))
    return kept


def _deed(told: dict[str, Any]) -> None:
    if told["why"] == "refused":
        raise Refused("gap", [])


def _press(form: Form) -> None:
    form._hand_in("Store it", _deed, "Stored.")  # noqa: SLF001  (what Streamlit calls when the button is pressed)


def test_a_form_that_is_pressed_twice_is_handed_in_once_and_an_empty_one_follows(held: dict[str, Any]) -> None:
    form = Form("gap")
    held[form.key("why")] = "locked"
    _press(form)
    _press(form)
    assert held["done"] == [("success", "Stored.", "gap Store it")]
    assert Form("gap").key("why") == "gap_why~1"


def test_a_form_that_was_refused_can_be_handed_in_again(held: dict[str, Any]) -> None:
    form = Form("gap")
    held[form.key("why")] = "refused"
    _press(form)
    assert Form("gap").key("why") == form.key("why")
    held[form.key("why")] = "locked"
    _press(form)
    assert [kind for kind, _, _ in held["done"]] == ["error", "success"]


@pytest.mark.parametrize("chosen", ["A-002 two", ["A-001", "A-002 two"]])
def test_a_choice_that_has_left_its_list_is_refused_in_words(held: dict[str, Any], chosen: object) -> None:
    form = Form("end")
    held[form.key("why")] = "locked"
    held[form.key("action", {"A-001": "one"})] = chosen
    _press(form)
    ((kind, text, _),) = held["done"]
    assert (kind, text) == ("error", "action: what was chosen is no longer on the list; choose again")


def test_another_subject_begins_an_empty_form_and_the_same_one_keeps_it(held: dict[str, Any]) -> None:
    assert held["done"] == []
    keys = [Form("gap", subject).key("why") for subject in ("Z1", "Z1", "Z2", "Z1")]
    assert keys == ["gap_why", "gap_why", "gap_why~1", "gap_why~2"]
