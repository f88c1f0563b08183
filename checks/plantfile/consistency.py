"""Consistency checks across a plant file: ids exist, counts agree, questions apply to their addressees.

The checks use plain data, before the types are checked: a wrong type in one place does not hide a broken link in
another, and all faults of a file are listed at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any

from checks.plantfile.plant import OUTSIDE
from checks.questions.bank import banks
from checks.text.faults import MOST_LISTED, Fault
from checks.text.yaml_text import Place, written
from scoring import voting as vote
from scoring.methods import registry

Found = tuple[Place, Fault]
ORDER = {"plant": 0, "system": 1, "zone": 1, "group": 2}
"""How specific an addressee is. A question can be answered at its own level or at a more specific one."""

BEFORE = {"common_cause": ("plant", "system", "group"), "cyber": ("plant", "zone", "group")}
BEFORE["requirements"] = BEFORE["cyber"]
NEEDS_NOTE = ("equivalent", "not-applicable")


def found(place: Place, what: str, allowed: str) -> Found:
    """A fault with its place."""
    return place, Fault(written(place), what, allowed)


def _block(raw: dict[str, Any], name: str) -> dict[str, Any]:
    block = raw.get(name)
    return block if isinstance(block, dict) else {}


def entries(raw: dict[str, Any], name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Entries of a block that are mappings, by id."""
    for key, value in _block(raw, name).items():
        if isinstance(value, dict):
            yield key, value


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _known(ids: Iterable[str], kind: str) -> str:
    first_ids = list(islice(ids, 13))
    shown = ", ".join(first_ids[:12]) + (", …" if len(first_ids) > 12 else "")
    return f"known {kind}: {shown or 'none'}"


def _unknown(place: Place, name: Any, block: dict[str, Any], kind: str) -> Iterator[Found]:
    if isinstance(name, str | int) and str(name) not in block:
        yield found(place, f"{name} is not among the {kind}", _known(block, kind))


def _group(raw: dict[str, Any], key: str, group: dict[str, Any]) -> Iterator[Found]:
    entry: Place = ("groups", key)
    channels, devices = _list(group.get("channels")), _block(raw, "devices")
    try:
        read = vote.read(group["voting"]) if isinstance(group.get("voting"), str) else None
    except vote.VotingRefused:
        read = None  # the types list this fault
    if read and channels and len(channels) != read.n:
        yield found(
            (*entry, "channels"), f"{len(channels)} channels", f"{read} has {read.n}: one list for each channel"
        )
    if read and read.redundant:
        convention = _block(raw, "conventions").get("voting_factor", "iec61508-6-2010")
        if convention in registry.MOON_FACTORS.ids():
            try:
                registry.MOON_FACTORS.latest(convention).factor(read)
            except vote.VotingRefused as refused:
                yield found((*entry, "voting"), str(refused), "or choose another voting_factor under conventions")
    for at, channel in enumerate(channels[:MOST_LISTED]):
        names = _list(channel)
        for number, name in enumerate(names):
            yield from _unknown((*entry, "channels", at, number), name, devices, "devices")
        rates = [devices.get(str(name)) for name in names]
        known = [device for device in rates if isinstance(device, dict)]
        if known and len(known) == len(names) and all(device.get("lambda_du_fit") == 0 for device in known):
            place = (*entry, "channels", at)
            yield found(place, "no dangerous undetected failure", "at least one device with lambda_du_fit above 0")
    if group.get("zone") is not None:
        yield from _unknown((*entry, "zone"), group["zone"], _block(raw, "zones"), "zones")
    yield from _proof_test(entry, group.get("proof_test"))


def _proof_test(entry: Place, test: Any) -> Iterator[Found]:
    if not isinstance(test, dict):
        return
    place = (*entry, "proof_test", "full_interval_h")
    coverage, interval, full = test.get("coverage", 1.0), test.get("interval_h"), test.get("full_interval_h")
    if full is None and isinstance(coverage, int | float) and coverage < 1:
        yield found(place, "missing", "a coverage below 1 needs the overhaul interval in hours")
    if isinstance(full, int | float) and isinstance(interval, int | float) and full < interval:
        yield found(place, f"{full} is shorter than interval_h {interval}", "at least the proof-test interval")


def _function(raw: dict[str, Any], key: str, function: dict[str, Any]) -> Iterator[Found]:
    entry: Place = ("functions", key)
    groups = _block(raw, "groups")
    listed: set[str] = set()
    for at, name in enumerate(_list(function.get("groups"))):
        yield from _unknown((*entry, "groups", at), name, groups, "groups")
        if str(name) in listed:
            yield found((*entry, "groups", at), f"{name} is listed twice", "each group once")
        listed.add(str(name))
    wanted, other = ("target_rrf", "target_pfh") if function.get("demand") == "low" else ("target_pfh", "target_rrf")
    if function.get("demand") in ("low", "high"):
        demand = function["demand"]
        if function.get(wanted) is None:
            yield found((*entry, wanted), "missing", f"a {demand}-demand function needs {wanted}")
        if function.get(other) is not None:
            yield found((*entry, other), "not for this demand", f"a {demand}-demand function has {wanted}")


def _systems(raw: dict[str, Any]) -> Iterator[Found]:
    owner: dict[str, str] = {}
    for key, system in entries(raw, "systems"):
        for at, name in enumerate(_list(system.get("functions"))):
            place: Place = ("systems", key, "functions", at)
            yield from _unknown(place, name, _block(raw, "functions"), "functions")
            if str(name) in owner:
                yield found(place, f"{name} already belongs to {owner[str(name)]}", "a function belongs to one system")
            owner.setdefault(str(name), key)


def _zones(raw: dict[str, Any]) -> Iterator[Found]:
    zones = _block(raw, "zones")
    if OUTSIDE in zones:
        yield found(
            ("zones", OUTSIDE), "a reserved word", "it stands for everything outside the plant: choose another id"
        )
    for key, conduit in entries(raw, "conduits"):
        ends = _list(conduit.get("between"))
        for at, name in enumerate(ends):
            if name != OUTSIDE:
                yield from _unknown(("conduits", key, "between", at), name, zones, "zones")
        if len(ends) == 2 and str(ends[0]) == str(ends[1]):
            yield found(("conduits", key, "between"), f"{ends[0]} twice", "a conduit joins two different zones")


def answer_faults(answer: dict[str, Any], blocks: dict[str, dict[str, Any]]) -> Iterator[tuple[str, str, str]]:
    """Faults of one answer: (field, found, allowed). ``blocks`` are systems, groups and zones by id."""
    name, of = answer.get("question"), answer.get("of")
    question = banks().questions.get(name) if isinstance(name, str) else None
    if isinstance(name, str) and question is None:
        yield "question", f"{name} is in no bank", "ids as in the banks: SEP1 … TST1, Z01 … P07, SR 1.1 …"
    if isinstance(of, str):
        kind, _, key = of.partition(":")
        if kind in ("system", "group", "zone") and key and key not in blocks[kind + "s"]:
            yield "of", f"{of} does not exist", _known(blocks[kind + "s"], kind + "s")
        if question and kind in ORDER:
            levels = [level for level in BEFORE[question.bank] if ORDER[level] >= ORDER[question.asked_of]]
            if kind not in levels:
                yield "of", f"{name} cannot be answered for {of}", f"allowed: {', '.join(levels)}"
    if answer.get("value") in NEEDS_NOTE and not str(answer.get("note") or "").strip():
        yield "note", f"missing, but the value is {answer['value']}", "give the reason in the note"


def _answers(raw: dict[str, Any]) -> Iterator[Found]:
    blocks = {name: _block(raw, name) for name in ("systems", "groups", "zones")}
    positions: dict[tuple[Any, Any], int] = {}
    for at, answer in enumerate(_list(raw.get("answers"))):
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
    for key, group in entries(raw, "groups"):
        yield from _group(raw, key, group)
    for key, function in entries(raw, "functions"):
        yield from _function(raw, key, function)
    yield from _systems(raw)
    yield from _zones(raw)
    yield from _answers(raw)
