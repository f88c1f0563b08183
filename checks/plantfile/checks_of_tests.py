"""Consistency of the tests of one group: intervals, coverages, the rest that no test finds, offsets, time in test."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from checks.plantfile.plain_data import Found, as_list, block, devices_in, found, known, number
from checks.text.yaml_text import Place

ANNEX_B = "annex-b"
REST = "no test finds every failure: give mission_h under conventions, in hours"


def faults(raw: dict[str, Any], entry: Place, group: dict[str, Any]) -> Iterator[Found]:
    """Inconsistencies in the tests of a group with channels, in plain data."""
    proof_test, tests = group.get("proof_test"), as_list(group.get("tests"))
    mission = number(block(raw, "conventions").get("mission_h"))
    if proof_test is None and not tests:
        yield found((*entry, "proof_test"), "missing", "proof_test, or tests; or a stated_result for the group")
    if proof_test is not None and tests:
        yield found((*entry, "tests"), "given beside proof_test", "either proof_test or tests")
    if isinstance(proof_test, dict):
        yield from _proof_test(entry, proof_test, mission)
    listed = [(at, test) for at, test in enumerate(tests) if isinstance(test, dict)]
    for at, test in listed:
        yield from _test((*entry, "tests", at), test, group, method_of(raw, group))
    if listed and proof_test is None:
        yield from _coverages(entry, listed, group, mission)


def _proof_test(entry: Place, test: dict[str, Any], mission: float | None) -> Iterator[Found]:
    place = (*entry, "proof_test", "full_interval_h")
    coverage, interval, full = test.get("coverage", 1.0), test.get("interval_h"), test.get("full_interval_h")
    if full is None and isinstance(coverage, int | float) and coverage < 1 and mission is None:
        yield found(place, "missing", "a coverage below 1 needs the overhaul interval in hours")
    if isinstance(full, int | float) and isinstance(interval, int | float) and full < interval:
        yield found(place, f"{full} is shorter than interval_h {interval}", "at least the proof-test interval")


def method_of(raw: dict[str, Any], group: dict[str, Any]) -> Any:
    """The redundancy method of a group: its own, else that of the plant, else the default."""
    own, plant = (block(each, "conventions").get("redundancy_method") for each in (group, raw))
    return own or plant or ANNEX_B


def _test(place: Place, test: dict[str, Any], group: dict[str, Any], method: Any) -> Iterator[Found]:
    names, channels = _devices(group), as_list(group.get("channels"))
    for at, name in enumerate(as_list(test.get("devices"))):
        if names and str(name) not in names:
            what = f"{name} is in no channel of this group"
            yield found((*place, "devices", at), what, known(names, "devices of its channels"))
    interval, offsets = number(test.get("interval_h")), as_list(test.get("offsets_h"))
    if offsets and channels and len(offsets) != len(channels):
        yield found((*place, "offsets_h"), f"{len(offsets)} offsets", f"one for each of the {len(channels)} channels")
    for at, offset in enumerate(offsets):
        if interval is not None and (number(offset) or 0.0) > interval:
            yield found(
                (*place, "offsets_h", at), f"{offset} is longer than interval_h {interval}", "at most the interval"
            )
    duration = number(test.get("duration_h")) or 0.0
    if interval is not None and duration > interval:
        yield found((*place, "duration_h"), f"{duration} is longer than interval_h {interval}", "at most the interval")
    if duration and test.get("bypass") is None:
        allowed = "group, channel or none: what is out of service during the test"
        yield found((*place, "bypass"), "missing beside duration_h", allowed)
    if duration and test.get("bypass") == "channel" and len(channels) > 1 and method == ANNEX_B:
        what = "annex-b has no form for one channel in test while the others stay in service"
        allowed = "bypass: group, which is the cautious choice, or none; or redundancy_method timeline, which has it"
        yield found((*place, "bypass"), what, allowed)


def _devices(group: dict[str, Any]) -> dict[str, None]:
    """Devices in the channels of a group, each once."""
    return dict.fromkeys(devices_in(group.get("channels")))


def _coverages(
    entry: Place, tests: list[tuple[int, dict[str, Any]]], group: dict[str, Any], mission: float | None
) -> Iterator[Found]:
    """For each device a rarer test finds at least what a more frequent one finds; the rest needs a mission time."""
    without: list[str] = []
    refused: set[int] = set()
    for device in _devices(group):
        best = 0.0
        for at, interval, coverage in sorted(_of_device(tests, device), key=lambda test: (test[1], test[2])):
            if coverage < best and at not in refused:
                refused.add(at)
                what = f"{coverage} every {interval:g} h, but a more frequent test already finds {best} of {device}"
                allowed = "a rarer test finds at least what a more frequent one finds"
                yield found((*entry, "tests", at, "coverage"), what, allowed)
            best = max(best, coverage)
        if best < 1.0:
            without.append(device)
    longest = max(number(test.get("interval_h")) or 0.0 for _, test in tests)
    if without and mission is None:
        yield found((*entry, "tests"), f"a rest of {', '.join(without)} is never found", REST)
    elif without and mission is not None and mission < longest:
        what = f"conventions.mission_h {mission:g} is shorter than a test interval of {longest:g} h"
        yield found((*entry, "tests"), what, "a mission time of at least the longest interval")


def _of_device(tests: list[tuple[int, dict[str, Any]]], device: str) -> Iterator[tuple[int, float, float]]:
    """Position, interval and coverage of each test of a device."""
    for at, test in tests:
        named = [str(name) for name in as_list(test.get("devices"))]
        interval, coverage = number(test.get("interval_h")), number(test.get("coverage"))
        if (not named or device in named) and interval is not None and coverage is not None:
            yield at, interval, coverage
