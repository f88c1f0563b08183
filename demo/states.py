"""Earlier states of the demo plant, built from their differences to the present one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.plantfile.plant import Answer, Asked, Plant
from checks.state.live import State

PRESENT = "present"
NEED_A_NOTE = ("equivalent", "not-applicable")


class States:
    """States by name. Each has differences to another state; the first of a chain has them to the present.

    ``differences`` of a state: ``plant`` is a merge patch (RFC 7396) of the plant data, ``answers`` are by addressee and
    question, ``without`` lists addressees that were not asked yet. A state without ``answers`` has plant data only. Notes
    of the present belong to today: an earlier state takes only those that an answer requires.
    """

    def __init__(self, present: Plant, differences: Mapping[str, Any], people: Mapping[str, str]) -> None:
        self._present, self._differences, self._people = present, differences, people

    def given(self, name: str, state: State | None) -> Plant:
        """The plant of a state, with the answers to import: all of them if ``state``, the present one in the store, is None.

        Otherwise those with another value in the store, and those to be confirmed.
        """
        answers = self._answers(name) if name == PRESENT or "answers" in self._differences[name] else {}
        if name != PRESENT and state is not None:
            answers = {asked: answer for asked, answer in answers.items() if _to_import(asked, answer, state)}
        return Plant.model_validate(
            {**self._data(name), "answers": [answer.model_dump() for answer in answers.values()]}
        )

    def _data(self, name: str) -> dict[str, Any]:
        if name == PRESENT:
            return self._present.model_dump(mode="json", exclude={"answers"}, exclude_defaults=True)
        differences = self._differences[name]
        patched: dict[str, Any] = merged(self._data(differences["differs_from"]), differences["plant"])
        return patched

    def _answers(self, name: str) -> dict[Asked, Answer]:
        """All answers of a state, with the evidence and day of that time."""
        if name == PRESENT:
            return {(answer.question, answer.of): answer for answer in self._present.answers}
        differences = self._differences[name]
        before = self._answers(differences["differs_from"])
        if "answers" not in differences:
            return before
        unasked = set(differences.get("without", ()))
        of_today = differences["differs_from"] == PRESENT
        kept = {
            asked: _dated(answer, differences, note="" if of_today and answer.value not in NEED_A_NOTE else answer.note)
            for asked, answer in before.items()
            if answer.of not in unasked
        }
        for of, by_question in differences["answers"].items():
            for question, entry in by_question.items():
                value, note = entry if isinstance(entry, list) else (entry, "")
                asked = (question, of)
                by = kept[asked].by if asked in kept else self._people[differences["by"]]
                kept[asked] = _dated(Answer(question=question, of=of, value=value, by=by), differences, note=note)
        return kept


def _dated(answer: Answer, differences: Mapping[str, Any], *, note: str) -> Answer:
    """An answer with the evidence and day of a state."""
    sheet = "" if answer.value == "unknown" else differences["sheet"].format(of=answer.of.replace(":", " "))
    return answer.model_copy(update={"evidence": sheet, "note": note, "on": str(differences["day"])})


def _to_import(asked: Asked, answer: Answer, state: State) -> bool:
    stored = state.stored.get(asked)
    return stored is None or stored.answer.value != answer.value or asked in state.records.to_confirm


def merged(value: Any, patch: Any) -> Any:
    """A value with a merge patch applied (RFC 7396): mappings are merged, null removes an entry.

    >>> merged({"a": {"b": 1, "c": 2}}, {"a": {"b": None, "d": 3}})
    {'a': {'c': 2, 'd': 3}}
    """
    if not isinstance(patch, dict):
        return patch
    patched = dict(value) if isinstance(value, dict) else {}
    for name, entry in patch.items():
        if entry is None:
            patched.pop(name, None)
        else:
            patched[name] = merged(patched.get(name), entry)
    return patched
