"""A form on its own: what it submits, and what it refuses."""

from __future__ import annotations

from typing import Any

import pytest

from checks.text.faults import Refused
from pages.ui import messages, state
from pages.ui.forms import Form
from pages.web import streamlit_workarounds


@pytest.fixture
def session(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """Widget values of a browser session, without a browser; messages are collected under ``done``."""
    values: dict[str, Any] = {"done": []}
    own: dict[str, Any] = {}
    monkeypatch.setattr(state, "_own", lambda: own)

    def value(key: str, default: Any = None) -> Any:
        return {**values, state.OWN: own}.get(key, default)

    monkeypatch.setattr(streamlit_workarounds, "value", value)
    monkeypatch.setattr(messages, "say", lambda kind, text, place="": values["done"].append((kind, text, place)))
    return values


def _action(fields: dict[str, Any]) -> None:
    if fields["why"] == "refused":
        raise Refused("gap", [])


def _press(form: Form) -> None:
    form._submit("Store it", _action, "Stored.")  # noqa: SLF001  (what Streamlit calls when the button is pressed)


def test_a_form_that_is_pressed_twice_is_submitted_once_and_an_empty_one_follows(session: dict[str, Any]) -> None:
    form = Form("gap")
    session[form.key("why")] = "locked"
    _press(form)
    _press(form)
    assert session["done"] == [("success", "Stored.", "gap Store it")]
    assert Form("gap").key("why") == "gap_why~1"


def test_a_form_that_was_refused_can_be_submitted_again(session: dict[str, Any]) -> None:
    form = Form("gap")
    session[form.key("why")] = "refused"
    _press(form)
    assert Form("gap").key("why") == form.key("why")
    session[form.key("why")] = "locked"
    _press(form)
    assert [kind for kind, _, _ in session["done"]] == ["error", "success"]


@pytest.mark.parametrize("chosen", ["A-002 two", ["A-001", "A-002 two"]])
def test_a_choice_that_is_no_longer_an_option_is_refused_in_words(session: dict[str, Any], chosen: object) -> None:
    form = Form("end")
    session[form.key("why")] = "locked"
    session[form.key("action", {"A-001": "one"})] = chosen
    _press(form)
    ((kind, text, _),) = session["done"]
    assert (kind, text) == ("error", "action: the selection is no longer on the list; choose again")


def test_another_subject_begins_an_empty_form_and_the_same_one_keeps_it(session: dict[str, Any]) -> None:
    assert session["done"] == []
    keys = [Form("gap", subject).key("why") for subject in ("Z1", "Z1", "Z2", "Z1")]
    assert keys == ["gap_why", "gap_why", "gap_why~1", "gap_why~2"]
