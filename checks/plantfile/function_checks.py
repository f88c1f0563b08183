"""Consistency of one safety function: its target, its groups, groups voted otherwise, alternatives."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile.group_checks import factor_faults, voting_of
from checks.plantfile.plain_data import Found, as_list, block, found, unknown
from checks.plantfile.plant import ids_in
from checks.text.yaml_text import Place

MEASURE = {"low": "pfd", "high": "pfh"}


def faults(raw: dict[str, Any], key: str, function: dict[str, Any]) -> Iterator[Found]:
    """Inconsistencies of one function in the plain data of a plant file."""
    entry: Place = ("functions", key)
    groups = block(raw, "groups")
    listed: set[str] = set()
    for at, part in enumerate(as_list(function.get("groups"))):
        place = (*entry, "groups", at)
        inside = part if isinstance(part, dict) else {}
        for name in ids_in(part):
            yield from unknown(place, name, groups, "groups")
            if name in listed:
                yield found(place, f"{name} is listed twice", "each group once")
            listed.add(name)
            yield from _stated(place, name, groups, function.get("demand"), alternative="any" in inside)
        if inside.get("voting") is not None and isinstance(groups.get(str(inside.get("group"))), dict):
            yield from _voted_otherwise(raw, place, inside)
    if function.get("demand_zone") is not None:
        yield from unknown((*entry, "demand_zone"), function["demand_zone"], block(raw, "zones"), "zones")
    yield from _target(entry, function)


def _target(entry: Place, function: dict[str, Any]) -> Iterator[Found]:
    wanted, other = ("target_rrf", "target_pfh") if function.get("demand") == "low" else ("target_pfh", "target_rrf")
    if function.get("demand") not in ("low", "high"):
        return
    demand, sil = function["demand"], function.get("target_sil")
    if function.get(wanted) is None and sil is None:
        yield found(
            (*entry, wanted), "missing", f"a {demand}-demand function needs {wanted}, or target_sil in format 2"
        )
    if function.get(wanted) is not None and sil is not None:
        yield found((*entry, "target_sil"), f"given beside {wanted}", "one target")
    if function.get(other) is not None:
        yield found((*entry, other), "not for this demand", f"a {demand}-demand function has {wanted}")


def _stated(place: Place, name: str, groups: dict[str, Any], demand: Any, *, alternative: bool) -> Iterator[Found]:
    """A stated result needs the measure of the function; among alternatives of a high-demand function both."""
    stated = block(block(groups, name), "stated_result")
    if not stated or demand not in ("low", "high"):
        return
    needed = ("pfd", "pfh") if alternative and demand == "high" else (MEASURE[demand],)
    for measure in needed:
        if stated.get(measure) is None:
            yield found(place, f"{name} states no {measure}", f"a {demand}-demand function needs its {measure} here")


def _voted_otherwise(raw: dict[str, Any], place: Place, entry: dict[str, Any]) -> Iterator[Found]:
    group, voting = block(raw, "groups")[str(entry["group"])], voting_of(entry)
    own, channels = voting_of(group), as_list(group.get("channels"))
    if group.get("stated_result") is not None:
        yield found((*place, "voting"), "a stated result has no voting", "the group alone")
    if voting is None or not channels:
        return
    if voting.n != len(channels):
        yield found((*place, "voting"), f"{voting} has {voting.n} channels", f"the group has {len(channels)}")
    elif own and voting.redundant and not own.redundant:
        what = f"{voting} here, but the group itself is {own}, without fault tolerance and without questions"
        yield found((*place, "voting"), what, f"give the group {voting}, and {own} to the functions that need it")
    elif voting.diagnostic != bool(own and own.diagnostic):
        yield found((*place, "voting"), f"{voting} here, but the group is {own}", "1oo2D belongs to the group alone")
    else:
        yield from factor_faults(raw, group, voting, (*place, "voting"))
