"""Answers that differ: what differs in value comes first, other wording of the same answer after it."""

from __future__ import annotations

import pytest

from checks.comparison.differences import AnswerFact, most_telling_first
from checks.plantfile.plant import Answer

OLD = Answer(question="ENV2", of="group:pt-301", value="met", evidence="Room log", note="cooling off", by="CE-4")


def _fact(**fields: str) -> AnswerFact:
    return AnswerFact("ENV2", "group:pt-301", OLD, OLD.model_copy(update=fields))


@pytest.mark.parametrize(
    ("fields", "moves", "differs"),
    [
        ({"value": "not-met"}, True, ""),
        ({"evidence": "Room log 2024"}, False, "evidence changed"),
        ({"evidence": ""}, False, "evidence removed"),
        ({"note": "", "evidence": "Log"}, False, "evidence changed, note removed"),
        ({"by": "IT-3", "on": "2025-03-04"}, False, ""),
    ],
)
def test_a_difference_says_whether_the_value_differs_or_only_evidence_and_note(
    fields: dict[str, str], *, moves: bool, differs: str
) -> None:
    fact = _fact(**fields)
    assert (fact.moves, fact.differs, fact.rewritten) == (moves, differs, bool(differs))


def test_an_answer_that_only_one_state_has_differs_in_value() -> None:
    for fact in (AnswerFact("ENV2", "plant", None, OLD), AnswerFact("ENV2", "plant", OLD, None)):
        assert fact.moves
        assert not fact.rewritten


def test_what_differs_in_value_comes_first_and_other_wording_last_each_in_the_order_of_the_banks() -> None:
    author, reworded, added, moved = (
        _fact(by="IT-3"),
        _fact(evidence="Room log 2024"),
        _fact(evidence=""),
        _fact(value="partly"),
    )
    again = _fact(value="unknown")
    assert most_telling_first([author, reworded, moved, added, again]) == [moved, again, added, reworded, author]
