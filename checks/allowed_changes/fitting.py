"""Which changes fit a plant, alone and together, by the checks of the plant file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import product

from checks.allowed_changes.change import KINDS, OVERHAUL, GroupChange, What, changed, number, present, tests_of
from checks.plantfile import plant_file
from checks.plantfile.equipment import Group
from checks.plantfile.messages import ALLOWED
from checks.plantfile.plant import Plant, VotedOtherwise
from checks.text.faults import Fault, Refused
from scoring import voting
from scoring.voting import VotingRefused

MOST = 6
"""Largest number of changes allowed for one group."""


def places(key: str, group: Group) -> list[GroupChange]:
    """What may change of a group: each place with its present value as ``to``."""
    found = [GroupChange(key, "voting", "", "")] if group.voting is not None and len(group.channels) > 1 else []
    if group.stated_result is None:
        for test in tests_of(group):
            found += [GroupChange(key, "interval", test, ""), GroupChange(key, "coverage", test, "")]
    known = ((place, present(group, place)) for place in found)
    return [replace(place, to=now) for place, now in known if now is not None]


def read(plant: Plant, fields: Mapping[str, str]) -> GroupChange:
    """The change in four texts: group, change, test and to. Raises Refused with the name of each text that is wrong."""
    texts = {name: fields.get(name, "").strip() for name in ("group", "change", "test", "to")}
    group, what = plant.groups.get(texts["group"]), KINDS.get(texts["change"].casefold())
    faults = []
    if group is None:
        faults.append(Fault("group", f"{texts['group'] or '(empty)'} is no group", _ids(plant.groups)))
    if what is None:
        faults.append(Fault("change", texts["change"] or "(empty)", f"one of {', '.join(KINDS)}"))
    if group is None or what is None:
        raise Refused("change", faults)
    if group.stated_result is not None:
        found = f"{texts['group']} has a stated result"
        raise Refused("change", [Fault("group", found, "a group with voting, channels and tests")])
    test = _test(group, what, texts["test"], faults)
    to = _value(group, what, texts["to"], faults)
    if faults:
        raise Refused("change", faults)
    change = GroupChange(texts["group"], what, test, to)
    wrong = misfit(plant, change)
    if wrong is not None:
        raise Refused("change", [wrong])
    return change


def _ids(known: Iterable[str]) -> str:
    names = list(known)
    return f"one of {', '.join(names[:12])}{' …' if len(names) > 12 else ''}" if names else "the plant has none"


def _test(group: Group, what: What, text: str, faults: list[Fault]) -> str:
    """The test as a change names it; a fault where there is no such test."""
    if what == "voting":
        if text:
            faults.append(Fault("test", text, "nothing: a voting belongs to no test"))
        return ""
    known = tests_of(group)
    if what == "coverage":
        known = tuple(name for name in known if group.proof_test is None or name != OVERHAUL)
    if group.proof_test is not None and text.casefold() in ("", "proof test"):
        return ""
    by_name = {name.casefold(): name for name in known if name}
    by_name |= {str(at): name for at, name in enumerate(known, start=1) if name}
    if not text and len(known) == 1:
        return known[0]
    if text.casefold() not in by_name:
        allowed = " or ".join(name or "nothing" for name in known)
        faults.append(Fault("test", text or "(empty)", f"a test of the group: {allowed}"))
    return by_name.get(text.casefold(), "")


def _value(group: Group, what: What, text: str, faults: list[Fault]) -> str:
    """The new value as a change holds it; a fault where it is none."""
    if what == "voting":
        return _voting(group, text, faults)
    allowed = ALLOWED["interval_h"] if what == "interval" else "a fraction above 0, at most 1 (90 % = 0.9)"
    try:
        value = number(text)
    except (ValueError, OverflowError):
        value = ""
    low, high = (24.0, 438_000.0) if what == "interval" else (1e-6, 1.0)
    if not value or not low <= float(value) <= high:
        faults.append(Fault("to", text or "(empty)", allowed))
    return value


def _voting(group: Group, text: str, faults: list[Fault]) -> str:
    count = len(group.channels)
    names = [f"{m}oo{count}" for m in range(1, count + 1)]
    allowed = f"a voting of its {count} channels: {', '.join(names)}" if count else ALLOWED["voting"]
    try:
        read_voting = voting.read(text)
    except VotingRefused:
        faults.append(Fault("to", text or "(empty)", allowed))
        return ""
    if read_voting.n != count:
        more = "; compare other channels under What if"
        faults.append(Fault("to", f"{text} has {read_voting.n} channels", f"{allowed}{more}"))
    elif read_voting.diagnostic or group.voted.diagnostic:
        faults.append(Fault("to", f"{text} in place of {group.voted}", f"{allowed}; 1oo2D neither way"))
    return str(read_voting)


def misfit(plant: Plant, change: GroupChange) -> Fault | None:
    """Why a change does not fit the plant as it is; None where it fits."""
    group = plant.groups.get(change.group)
    if group is None:
        return Fault("group", f"{change.group} is no group any more", "withdraw it")
    now = present(group, change)
    if now is None:
        return Fault("test", f"{change.group} has no such test any more", "withdraw it")
    if now == change.to:
        return Fault("to", f"{change.to} is what {change.group} has", "another value")
    return next(iter(_faults(plant, change.group, [change])), None)


def options(plant: Plant, changes: Sequence[GroupChange]) -> tuple[frozenset[GroupChange], ...]:
    """Which changes of one group may be chosen together, the choice of none first.

    Of one test at most one interval and one coverage, at most one voting, and only what the checks of the plant file allow.
    """
    places: dict[object, list[GroupChange]] = {}
    for change in sorted(changes):
        places.setdefault(change.place, []).append(change)
    found = []
    for chosen in product(*([None, *each] for each in places.values())):
        taken = [change for change in chosen if change is not None]
        if len(taken) < 2 or not _faults(plant, taken[0].group, taken):
            found.append(frozenset(taken))
    return tuple(found)


def _faults(plant: Plant, key: str, changes: Iterable[GroupChange]) -> list[Fault]:
    """Faults of a group with changes, and of functions that give it another voting, by the checks of the plant file."""
    group = changed(plant.groups[key], changes)
    voted = {
        name: function.model_copy(update={"groups": entries, "demand_zone": None})
        for name, function in plant.functions.items()
        if (entries := [each for each in function.groups if isinstance(each, VotedOtherwise) and each.group == key])
    }
    named = set(group.devices)
    part = plant.model_copy(
        update={
            "devices": {name: device for name, device in plant.devices.items() if name in named},
            "zones": {name: zone for name, zone in plant.zones.items() if name == group.zone},
            "conduits": {},
            "systems": {},
            "functions": voted,
            "groups": {key: group},
            "answers": [],
        }
    )
    _, faults, _ = plant_file.from_data({"functions": {}, **plant_file.plain(part)})
    return [Fault("to", f"{fault.place}: {fault.found}", fault.allowed) for _, fault in faults]
