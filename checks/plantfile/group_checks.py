"""Consistency of one group: voting and channels, or a stated result; devices, zone, MooN factor, 1oo2D."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile import checks_of_tests
from checks.plantfile.messages import ALLOWED, one_of
from checks.plantfile.plain_data import Found, as_list, block, devices_in, elements_of, found, unknown
from checks.text.faults import MOST_LISTED
from checks.text.yaml_text import Place
from scoring import voting as vote
from scoring.common_cause import PARTS
from scoring.methods import registry
from scoring.timeline.method import TIMELINE
from scoring.voting import Voting

NEEDED = ("voting", "channels", "mttr_h", "mrt_h")
"""Fields of a group without a stated result."""
NOT_WITH_STATED = (
    *NEEDED,
    "proof_test",
    "tests",
    "check_others",
    "stated_beta",
    "diagnostic_switch",
    "diagnostic_interval_h",
    "acts_on_detected",
    "conventions",
)


def faults(raw: dict[str, Any], key: str, group: dict[str, Any]) -> Iterator[Found]:
    """Inconsistencies of one group in the plain data of a plant file."""
    entry: Place = ("groups", key)
    if group.get("zone") is not None:
        yield from unknown((*entry, "zone"), group["zone"], block(raw, "zones"), "zones")
    if group.get("stated_result") is not None:
        yield from _stated(entry, group)
        return
    for name in NEEDED:
        if group.get(name) in (None, []):
            yield found((*entry, name), "missing", ALLOWED[name])
    voting = voting_of(group)
    if voting:
        yield from _channel_count(entry, voting, group)
        yield from factor_faults(raw, group, voting, (*entry, "voting"))
    yield from _diagnostic(raw, entry, group, voting)
    yield from _own_beta(entry, group)
    yield from _channels(raw, entry, group)
    yield from _elements(raw, key, group, voting)
    yield from checks_of_tests.faults(raw, entry, group)


def voting_of(group: dict[str, Any]) -> Voting | None:
    """Voting of a group or of an entry; None where it cannot be read, for the types list this fault."""
    voting = group.get("voting")
    if not isinstance(voting, str):
        return voting if isinstance(voting, Voting) else None
    try:
        return vote.read(voting)
    except vote.VotingRefused:
        return None


def _stated(entry: Place, group: dict[str, Any]) -> Iterator[Found]:
    for name in NOT_WITH_STATED:
        if group.get(name) not in (None, [], False):
            yield found(
                (*entry, name), "given beside stated_result", "a stated result stands in place of it: remove one"
            )
    stated = group["stated_result"]
    if isinstance(stated, dict) and stated.get("pfd") is None and stated.get("pfh") is None:
        yield found((*entry, "stated_result", "pfd"), "missing", "pfd, pfh or both, as the maker states them")


def _channel_count(entry: Place, voting: Voting, group: dict[str, Any]) -> Iterator[Found]:
    channels = as_list(group.get("channels"))
    if channels and len(channels) != voting.n:
        allowed = f"{voting} has {voting.n}: one list for each channel"
        yield found((*entry, "channels"), f"{len(channels)} channels", allowed)


def factor_faults(raw: dict[str, Any], group: dict[str, Any], voting: Voting, place: Place) -> Iterator[Found]:
    """A fault where the MooN factor of a group does not print this voting; a beta of the whole group needs no factor."""
    if not voting.redundant or block(group, "stated_beta").get("of") == "group":
        return
    own = block(group, "conventions").get("voting_factor")
    convention = own or block(raw, "conventions").get("voting_factor", "iec61508-6-2010")
    if convention in registry.MOON_FACTORS.ids():
        try:
            registry.MOON_FACTORS.latest(convention).factor(voting)
        except vote.VotingRefused as refused:
            yield found(place, str(refused), "or choose another voting_factor under conventions")


def _own_beta(entry: Place, group: dict[str, Any]) -> Iterator[Found]:
    """Faults of the beta method of a group: unknown, for another part, beside a specified beta, without a reason."""
    own = block(group, "conventions")
    method, reason = own.get("beta_method"), str(own.get("beta_method_reason") or "").strip()
    place: Place = (*entry, "conventions", "beta_method")
    if method is None:
        if reason:
            yield found(
                (*place[:-1], "beta_method_reason"), "given without beta_method", "name the method, or remove it"
            )
        return
    part = group.get("part")
    if part in PARTS:
        allowed = registry.betas_of_part(part)
        if method not in allowed:
            yield found(place, f"found {method!r}", f"allowed for a {part} group: {one_of(allowed)}")
    if group.get("stated_beta") is not None:
        yield found(place, "given beside stated_beta", "a specified beta stands in place of it: remove one")
    if not reason:
        yield found((*place[:-1], "beta_method_reason"), "missing", ALLOWED["beta_method_reason"])


def _diagnostic(raw: dict[str, Any], entry: Place, group: dict[str, Any], voting: Voting | None) -> Iterator[Found]:
    place, switch = (*entry, "diagnostic_switch"), group.get("diagnostic_switch")
    if voting is None or not voting.diagnostic:
        if switch is not None and voting is not None:
            yield found(place, f"given for {voting}", "only 1oo2D has a switch")
        return
    if switch is None:
        yield found(place, "missing", f"1oo2D needs it: {ALLOWED['diagnostic_switch']}")
    channels = as_list(group.get("channels"))
    if len(channels) == 2 and channels[0] != channels[1]:
        yield found(
            (*entry, "channels"), "1oo2D with diverse channels", "like channels; or state the result of the group"
        )
    rates = [block(block(raw, "devices"), name) for name in devices_in(channels)]
    if rates and all(rates) and not any(device.get("lambda_sd_fit") for device in rates):
        allowed = "1oo2D needs lambda_s_fit and its detected part lambda_sd_fit of a device"
        yield found((*entry, "channels"), "no device with lambda_sd_fit", allowed)


def _channels(raw: dict[str, Any], entry: Place, group: dict[str, Any]) -> Iterator[Found]:
    devices = block(raw, "devices")
    for at, channel in enumerate(as_list(group.get("channels"))[:MOST_LISTED]):
        for number, part in enumerate(as_list(channel)):
            place = (*entry, "channels", at, number)
            if not isinstance(part, dict):
                yield from unknown(place, part, devices, "devices")
                continue
            for inside, name in enumerate(as_list(part.get("of"))):
                yield from unknown((*place, "of", inside), name, devices, "devices")
        names = devices_in([channel])
        rates = [devices.get(name) for name in names]
        known = [device for device in rates if isinstance(device, dict)]
        if known and len(known) == len(names) and all(device.get("lambda_du_fit") == 0 for device in known):
            place = (*entry, "channels", at)
            yield found(place, "no dangerous undetected failure", "at least one device with lambda_du_fit above 0")


NO_FORM = "a redundant element inside a channel"


def _elements(raw: dict[str, Any], key: str, group: dict[str, Any], voting: Voting | None) -> Iterator[Found]:
    """Inconsistencies of redundant elements inside the channels of a group: only the timeline has a form for them, not in 1oo2D."""
    method = checks_of_tests.method_of(raw, group)
    for place, element in list(elements_of(key, group))[:MOST_LISTED]:
        if method != TIMELINE:
            what = f"{NO_FORM} of {key}, and {method} has no form for it"
            yield found(
                place, what, "use timeline: redundancy_method timeline under conventions of the group or of the plant"
            )
        if voting and voting.diagnostic:
            yield found(
                place, f"{NO_FORM} of {key}, which is 1oo2D", "devices in series; or state the result of the group"
            )
        yield from _element(raw, place, element, group)


def _element(raw: dict[str, Any], place: Place, element: dict[str, Any], group: dict[str, Any]) -> Iterator[Found]:
    names, voting, stated = as_list(element.get("of")), voting_of(element), element.get("stated_beta")
    for at, name in enumerate(names):
        if block(block(raw, "devices"), str(name)).get("lambda_du_fit") == 0:
            what = f"{name} has no dangerous undetected failure"
            yield found((*place, "of", at), what, "each device of a redundant element with lambda_du_fit above 0")
    if voting is None:
        return
    if names and len(names) != voting.n:
        yield found(
            (*place, "of"),
            f"{len(names)} device{'s' * (len(names) > 1)}",
            f"{voting} has {voting.n}: one id for each device",
        )
    if voting.diagnostic:
        yield found((*place, "voting"), f"{voting} inside a channel", ALLOWED["channels.voting"])
    elif voting.redundant:
        if stated is None:
            yield found(
                (*place, "stated_beta"),
                "missing",
                "beta, beta_d and their source: no questions are asked of an element",
            )
        yield from factor_faults(raw, {**group, "stated_beta": stated}, voting, (*place, "voting"))
    elif stated is not None and voting.n == 1:
        yield found((*place, "stated_beta"), f"given for {voting}", "one device shares nothing with others: remove it")
