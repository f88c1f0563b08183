"""Cautions and remarks that accompany every result outside the program."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from checks.assessment import editions as known_editions
from checks.assessment import over_time
from checks.assessment.editions import Editions
from checks.assessment.redundancy_inputs import voted
from checks.plantfile.equipment import Group
from checks.plantfile.plant import Alternatives, Plant
from checks.timeline import timed_groups
from scoring import alternatives, exposure, levels
from scoring.beta.by_grades import ByGrades
from scoring.method import BetaMethod, RedundancyMethod
from scoring.units import HOURS_PER_YEAR

MOST_NAMED = 4
"""Groups with a method of their own that the line of methods names; of more it says how many."""
CAUTIONS = (
    "Decision support for competent people. It certifies nothing and replaces no specification, assessment or judgement.",
    "Figures are orders of magnitude. Betas from a questionnaire are judgement; real values can be higher.",
    "Local law, codes and licensed practice come first; the duty holder decides and stays responsible.",
    "A result of PFD or PFH alone supports no SIL: architecture and systematic capability are separate statements.",
    f"Exposure and adjusted beta: {exposure.SCENARIO}.",
    "No probability of an attack is computed. Not for use in real time; not part of a safety system.",
)


def method(plant: Plant, editions: Editions | None = None) -> str:
    """Methods with their editions in one line, shown with every result; by default those of the plant's format."""
    used = editions or known_editions.of_plant(plant)
    about = used.about
    return (
        f"Beta: {about['beta_method'].label}{_but(used.betas_of_groups)}; MooN factor: {about['voting_factor'].label}; "
        f"PFD and PFH: {about['redundancy_method'].label}{_but(used.redundancy_of_groups)}; "
        f"exposure: {about['exposure_rule'].label}"
    )


def _but(own: Mapping[str, BetaMethod] | Mapping[str, RedundancyMethod]) -> str:
    """Groups with a method of their own, in words; empty where there are none."""
    groups: dict[str, list[str]] = {}
    for key, method in own.items():
        groups.setdefault(method.about.label, []).append(key)
    return "".join(f", but {label} for {_few(keys)}" for label, keys in groups.items())


def _few(keys: Sequence[str]) -> str:
    """The first groups, and how many more there are."""
    more = len(keys) - MOST_NAMED
    return f"{', '.join(keys[:MOST_NAMED])}{f' and {more} more' if more > 0 else ''}"


def _of_own_method(group: Group, method: BetaMethod) -> Iterator[str]:
    """Why a group has a beta method of its own, and the house rules that this needs."""
    reason = group.conventions.beta_method_reason if group.conventions else ""
    yield f"beta by {method.about.label} ({method.about.name}): {reason.rstrip(' .')}"
    if isinstance(method, ByGrades):
        yield from method.house_rules


def _of_tests(group: Group, *, on_timeline: bool) -> Iterator[str]:
    """Remarks on the tests of a group, and what of them Annex B does not use."""
    if group.tested_in_turn and not on_timeline:
        yield "tests are staggered, but Annex B gives no credit for it"
    if group.check_others and not on_timeline:
        yield "the other channels are tested after a failure, but Annex B gives no credit for it"
    if any(test.duration_h and test.bypass in ("group", "channel") for test in group.tests):
        yield "time in test is in the PFDavg; it is planned, so it is not in the PFH"


def _of_functions(plant: Plant, editions: Editions) -> Iterator[str]:
    """Remarks on alternatives, and on groups that enter a function over time as constants."""
    for key, function in plant.functions.items():
        over = [over_time.on_timeline(plant, editions, name) for name in function.group_ids]
        if any(isinstance(entry, Alternatives) for entry in function.groups) and not all(over):
            yield f"{key}: {alternatives.REMARK}"
        constant = [name for name, on in zip(function.group_ids, over, strict=True) if not on]
        if any(over) and constant:
            yield f"{key}: on the timeline, with the averages of {', '.join(constant)} as constants"
    if plant.conventions.mission_h is None and any(over_time.on_timeline(plant, editions, key) for key in plant.groups):
        yield f"no mission_h is given: the timeline takes {timed_groups.USUAL_MISSION / HOURS_PER_YEAR:g} years (house rule)"


def remarks(plant: Plant, editions: Editions | None = None) -> list[str]:
    """Remarks on the data of this plant; no value is rejected or clamped."""
    used = editions or known_editions.of_plant(plant)
    listed = []
    for key, group in plant.groups.items():
        if key in used.betas_of_groups:
            listed += [f"{key}: {remark}" for remark in _of_own_method(group, used.beta_of(key))]
        if group.stated_result is None:
            method, on = used.redundancy_of(key), over_time.on_timeline(plant, used, key)
            of_tests = _of_tests(group, on_timeline=on)
            listed += [f"{key}: {remark}" for remark in (*method.remarks(voted(plant, group)), *of_tests)]
        if group.stated_beta and not group.stated_beta.source:
            listed.append(f"{key}: the specified beta has no source")
        if group.zone is None and group.programmable:
            listed.append(f"{key}: is in no zone, so its beta is not adjusted")
    for key, zone in plant.zones.items():
        missing = [fr for fr in levels.FOUNDATIONAL if fr not in zone.sl_target]
        if zone.sl_target and missing:
            listed.append(f"{key}: no target level for {', '.join(missing)}")
    in_system = {name for system in plant.systems.values() for name in system.functions}
    listed += _of_functions(plant, used)
    listed += [f"{key}: belongs to no safety system" for key in plant.functions if key not in in_system]
    return listed
