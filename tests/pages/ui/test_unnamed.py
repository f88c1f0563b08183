"""A person without a name who presses the button of a form: the name is asked for below it, and then it is stored."""

from __future__ import annotations

import json
from pathlib import Path

from checks.journal.store import Store
from tests.pages.shown import Screen, fine, said

PAGES = Path(__file__).parents[3] / "pages"


def test_the_name_is_asked_below_the_form_and_what_was_entered_is_stored_with_it(store: Store, screen: Screen) -> None:
    at = fine(screen("fix", who="", fix="function:SIF-501"))
    before = len(store.events(1))
    at.text_input(key="fix_actions_owner").set_value("maintenance")
    (button,) = [one for one in at.button if one.label == "Record 1 action"]
    at = fine(button.click().run())
    assert "everything recorded here carries a name" in said(at)
    assert len(store.events(1)) == before
    fine(at.text_input(key="name_box").set_value("T. Meri").run())
    (*_, recorded) = store.events(1)
    assert (len(store.events(1)), recorded.kind, json.loads(recorded.body)["owner"]) == (
        before + 1,
        "action",
        "maintenance",
    )


def test_every_form_says_what_follows_below_it() -> None:
    """In a form the framework allows no box whose entry acts at once, such as that for the name."""
    with_form = [path.name for path in PAGES.rglob("*.py") if "st.form(" in path.read_text(encoding="utf-8")]
    assert with_form == ["forms.py"]
