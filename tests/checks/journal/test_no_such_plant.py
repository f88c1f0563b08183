"""A plant that is missing from the store."""

from __future__ import annotations

import pytest

from checks.journal.errors import NoSuchPlant
from checks.journal.store import Store
from checks.plantfile.plant import Answer
from tests.checks.journal.stored import latest, save


def test_an_answer_for_a_plant_that_is_not_there_says_so(store: Store) -> None:
    answer = Answer(question="SEP1", of="group:pt-301", value="met")
    with pytest.raises(NoSuchPlant, match="999"):
        save(store, 999, answer, seen=0, writer="test")


def test_a_question_nobody_answered_has_no_latest_answer(store: Store) -> None:
    assert latest(store, 1, "DIV8", "group:nowhere") is None
