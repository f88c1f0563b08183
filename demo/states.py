"""Earlier states of the demo plant, built from what differs from the present one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checks.plantfile.plant import Answer, Asked, Plant
from checks.state.live import State

PRESENT = "present"
NEED_A_NOTE = ("equivalent", "not-applicable")


class States:
    """States by name. Each differs from another one, and the first of a chain from the present.

    ``told`` holds for each its differences: ``plant`` as a merge patch (RFC 7396) of the plant data, ``answers`` by
    addressee and question, ``without`` addressees that were not asked yet. A state without ``answers`` brings plant
    data alone. Notes of the present are of today: of these only those that an answer needs go back to a state.
    """

    def __init__(self, present: Plant, told: Mapping[str, Any], people: Mapping[str, str]) -> None:
        self._present, self._told, self._people = present, told, people

    def given(self, name: str, now: State | None) -> Plant:
        """The plant of a state, with the answers that somebody gives: all, where nothing is known ``now``.

        Later those that have another value now, and those that are to be confirmed.
        """
        answers = self._answers(name) if name == PRESENT or "answers" in self._told[name] else {}
        if name != PRESENT and now is not None:
            answers = {asked: one for asked, one in answers.items() if _anew(asked, one, now)}
        return Plant.model_validate({**self._data(name), "answers": [one.model_dump() for one in answers.values()]})

    def _data(self, name: str) -> dict[str, Any]:
        if name == PRESENT:
            return self._present.model_dump(mode="json", exclude={"answers"}, exclude_defaults=True)
        told = self._told[name]
        patched: dict[str, Any] = merged(self._data(told["differs_from"]), told["plant"])
        return patched

    def _answers(self, name: str) -> dict[Asked, Answer]:
        """Every answer of a state, as it was given then."""
        if name == PRESENT:
            return {(one.question, one.of): one for one in self._present.answers}
        told = self._told[name]
        before = self._answers(told["differs_from"])
        if "answers" not in told:
            return before
        out = set(told.get("without", ()))
        of_today = told["differs_from"] == PRESENT
        kept = {
            asked: _then(one, told, note="" if of_today and one.value not in NEED_A_NOTE else one.note)
            for asked, one in before.items()
            if one.of not in out
        }
        for of, held in told["answers"].items():
            for question, said in held.items():
                value, note = said if isinstance(said, list) else (said, "")
                asked = (question, of)
                by = kept[asked].by if asked in kept else self._people[told["by"]]
                kept[asked] = _then(Answer(question=question, of=of, value=value, by=by), told, note=note)
        return kept


def _then(one: Answer, told: Mapping[str, Any], *, note: str) -> Answer:
    """An answer with the evidence and the day of a state."""
    sheet = "" if one.value == "unknown" else told["sheet"].format(of=one.of.replace(":", " "))
    return one.model_copy(update={"evidence": sheet, "note": note, "on": str(told["day"])})


def _anew(asked: Asked, one: Answer, now: State) -> bool:
    held = now.stored.get(asked)
    return held is None or held.answer.value != one.value or asked in now.records.to_confirm


def merged(held: Any, patch: Any) -> Any:
    """A value with a merge patch applied (RFC 7396): mappings are merged, null takes an entry away.

    >>> merged({"a": {"b": 1, "c": 2}}, {"a": {"b": None, "d": 3}})
    {'a': {'c': 2, 'd': 3}}
    """
    if not isinstance(patch, dict):
        return patch
    whole = dict(held) if isinstance(held, dict) else {}
    for name, value in patch.items():
        if value is None:
            whole.pop(name, None)
        else:
            whole[name] = merged(whole.get(name), value)
    return whole
