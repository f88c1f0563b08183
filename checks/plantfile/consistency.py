"""Consistency checks across a plant file: ids exist, counts agree, questions apply to their addressees.

The checks use plain data, before the types are checked: a wrong type in one place does not hide a broken link in
another, and all faults of a file are listed at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile import function_checks, group_checks
from checks.plantfile.messages import ALLOWED
from checks.plantfile.plain_data import Found, as_list, block, entries, found, known, number, unknown
from checks.plantfile.plant import OUTSIDE
from checks.questions.bank import LEVELS, MEASURE_ANSWERS, OPINIONS, Question, banks
from checks.text.yaml_text import Place

ORDER = {"plant": 0, "system": 1, "zone": 1, "group": 2}
"""How specific an addressee is. A question can be answered at its own level or at a more specific one."""

BEFORE = {"common_cause": ("plant", "system", "group"), "cyber": ("plant", "zone", "group")}
BEFORE["requirements"] = BEFORE["cyber"]
BEFORE |= dict.fromkeys(dict(OPINIONS), BEFORE["common_cause"])
NEEDS_NOTE = ("equivalent", "not-applicable")


def _devices(raw: dict[str, Any]) -> Iterator[Found]:
    for key, device in entries(raw, "devices"):
        detected, safe = number(device.get("lambda_sd_fit")), number(device.get("lambda_s_fit")) or 0.0
        if detected is not None and detected > safe:
            what = f"{detected:g} is more than lambda_s_fit {safe:g}"
            yield found(
                ("devices", key, "lambda_sd_fit"), what, "the detected part of the safe failures, at most lambda_s_fit"
            )


def _systems(raw: dict[str, Any]) -> Iterator[Found]:
    owner: dict[str, str] = {}
    for key, system in entries(raw, "systems"):
        for at, name in enumerate(as_list(system.get("functions"))):
            place: Place = ("systems", key, "functions", at)
            yield from unknown(place, name, block(raw, "functions"), "functions")
            if str(name) in owner:
                yield found(place, f"{name} already belongs to {owner[str(name)]}", "a function belongs to one system")
            owner.setdefault(str(name), key)


def _zones(raw: dict[str, Any]) -> Iterator[Found]:
    zones = block(raw, "zones")
    if OUTSIDE in zones:
        yield found(
            ("zones", OUTSIDE), "a reserved word", "it stands for everything outside the plant: choose another id"
        )
    for key, conduit in entries(raw, "conduits"):
        ends = as_list(conduit.get("between"))
        for at, name in enumerate(ends):
            if name != OUTSIDE:
                yield from unknown(("conduits", key, "between", at), name, zones, "zones")
        if len(ends) == 2 and str(ends[0]) == str(ends[1]):
            yield found(("conduits", key, "between"), f"{ends[0]} twice", "a conduit joins two different zones")
        end = conduit.get("one_way_to")
        if isinstance(end, str | int) and str(end) not in map(str, ends):
            yield found(("conduits", key, "one_way_to"), f"{end} is not an end of it", ALLOWED["one_way_to"])


def wrong_value(question: Question, value: Any) -> tuple[str, str] | None:
    """What is wrong with a known value as the answer to a question, and what is allowed; None where it is an answer to it."""
    if value in question.answers or value not in (*MEASURE_ANSWERS, *LEVELS):
        return None
    return f"{value} does not answer {question.id}", f"allowed: {', '.join(question.answers)}"


def answer_faults(answer: dict[str, Any], blocks: dict[str, dict[str, Any]]) -> Iterator[tuple[str, str, str]]:
    """Faults of one answer: (field, found, allowed). ``blocks`` are systems, groups and zones by id."""
    name, of = answer.get("question"), answer.get("of")
    question = banks().questions.get(name) if isinstance(name, str) else None
    if isinstance(name, str) and question is None:
        yield "question", f"{name} is in no bank", "ids as in the banks: SEP1 … TST1, Z01 … P07, SR 1.1 …"
    if isinstance(of, str):
        kind, _, key = of.partition(":")
        if kind in ("system", "group", "zone") and key and key not in blocks[kind + "s"]:
            yield "of", f"{of} does not exist", known(blocks[kind + "s"], kind + "s")
        if question and kind in ORDER:
            levels = [level for level in BEFORE[question.bank] if ORDER[level] >= ORDER[question.asked_of]]
            if kind not in levels:
                yield "of", f"{name} cannot be answered for {of}", f"allowed: {', '.join(levels)}"
    if question and (fault := wrong_value(question, answer.get("value"))):
        yield "value", *fault
    if answer.get("value") in NEEDS_NOTE and not str(answer.get("note") or "").strip():
        yield "note", f"missing, but the value is {answer['value']}", "give the reason in the note"


def _answers(raw: dict[str, Any]) -> Iterator[Found]:
    blocks = {name: block(raw, name) for name in ("systems", "groups", "zones")}
    positions: dict[tuple[Any, Any], int] = {}
    for at, answer in enumerate(as_list(raw.get("answers"))):
        if not isinstance(answer, dict):
            continue
        for field, what, allowed in answer_faults(answer, blocks):
            yield found(("answers", at, field), what, allowed)
        name, of = answer.get("question"), answer.get("of")
        if isinstance(name, str) and isinstance(of, str):
            first = positions.setdefault((name, of), at)
            if first != at:
                yield found(
                    ("answers", at), f"{name} of {of} is already answered at answers.{first}", "one answer each"
                )


def faults(raw: dict[str, Any]) -> Iterator[Found]:
    """All inconsistencies in the plain data of a plant file."""
    yield from _devices(raw)
    for key, group in entries(raw, "groups"):
        yield from group_checks.faults(raw, key, group)
    for key, function in entries(raw, "functions"):
        yield from function_checks.faults(raw, key, function)
    yield from _systems(raw)
    yield from _zones(raw)
    yield from _answers(raw)
