"""Any change of a record file is found, and the first event or part that does not fit is named."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.checks.record_files.handed import Data, of_kind, sealed, seq, verdict

MOVED = "it does not follow the event before it: one of the two was changed or moved"


def test_an_answer_that_was_changed(data: Data) -> None:
    event = of_kind(data, "answer")
    event["body"]["value"] = "met"
    assert verdict(data) == (1, [f"event {seq(event)}: {MOVED}"])


@pytest.mark.parametrize("field", ["by", "at", "identity", "writer", "salt", "slot", "kind"])
def test_any_field_of_an_event_that_was_changed(data: Data, field: str) -> None:
    event = of_kind(data, "gap-accepted")
    event["event"][field] += " "
    assert verdict(data) == (1, [f"event {seq(event)}: {MOVED}"])


def test_an_event_that_was_taken_out(data: Data) -> None:
    gone = seq(of_kind(data, "dissent"))
    del data["events"][gone - 1]
    assert verdict(data) == (1, [f"event {gone}: it is missing; event {gone + 1} is in its place"])


def test_two_events_that_were_exchanged(data: Data) -> None:
    events = data["events"]
    events[4], events[5] = events[5], events[4]
    assert verdict(data) == (1, ["event 5: it is missing; event 6 is in its place"])
    for at in (4, 5):
        events[at]["event"]["seq"] = at + 1
    assert verdict(data) == (1, [f"event 5: {MOVED}"])


def test_the_digest_of_a_sealed_event_that_was_changed(data: Data) -> None:
    assert "digest" in data["events"][0]
    data["events"][0]["digest"] = "ab" * 32
    assert verdict(data) == (1, [f"event 1: {MOVED}"])


def test_the_head_that_was_changed_and_the_last_event_that_was_cut_off(data: Data) -> None:
    count = len(data["events"])
    cut = {**data, "events": data["events"][:-1]}
    assert verdict(cut) == (1, [f"event {count}: missing; the journal was closed with another last event"])
    cut["head"] = cut["events"][-1]["hash"]
    why = f"event {count - 1}: the last event of a record is its export, and this one is not"
    assert verdict(cut) == (1, [why])
    data["head"] = "ab" * 32
    assert verdict(data)[0] == 1


def test_the_revision_that_was_changed(data: Data) -> None:
    why = f"event {seq(of_kind(data, 'revision'))}: revision 1 was changed after it was fixed"
    data["revision"]["facts"]["plant"]["devices"]["PT"]["lambda_du_fit"] = 45.0
    assert verdict(data) == (1, [why])


def test_a_figure_that_was_changed(data: Data) -> None:
    why = f"event {seq(of_kind(data, 'revision'))}: revision 1 was changed after it was fixed"
    data["revision"]["results"]["functions"]["SIF-301"]["rrf"]["adjusted"] *= 2
    assert verdict(data) == (1, [why])


def test_the_revision_that_was_exchanged_for_the_one_before(data: Data) -> None:
    data["revision"] = of_kind(data, "revision", 0)["body"]
    assert verdict(data) == (1, [f"event {seq(of_kind(data, 'revision'))}: revision 1 was changed after it was fixed"])
    data["number"] = 0
    assert verdict(data) == (1, [f"event {len(data['events'])}: it is the export of another record"])


@pytest.mark.parametrize(
    ("change", "part"),
    [
        (lambda block: block.update(signature=block["signature"][:-8] + "AAAAAAA="), "signatures"),
        (lambda block: block.update(signer="IA-2"), "signatures"),
        (lambda block: block.update(key=block["key"][:-4] + "AAA="), "signatures"),
        (lambda block: block.update(half="security"), "signatures"),
        (lambda block: block["statement"].update(independence="I was asked to."), "signatures"),
        (lambda block: block["statement"].update(conditions=["none"]), "signatures"),
    ],
)
def test_the_block_of_signatures_that_was_changed(data: Data, change: Callable[[Data], Any], part: str) -> None:
    change(data["signatures"][0])
    assert verdict(data) == (1, [f"the {part} are not those of the journal"])


def test_the_block_of_signatures_that_was_emptied_doubled_or_turned_round(data: Data) -> None:
    both = data["signatures"]
    for block in ([], both[:1], [*both, both[0]], both[::-1]):
        assert verdict({**data, "signatures": block}) == (1, ["the signatures are not those of the journal"])


def test_a_key_that_was_exchanged_for_another_enrolled_key(data: Data) -> None:
    data["signatures"][0]["key"] = data["signatures"][1]["key"]
    assert verdict(data) == (1, ["the signatures are not those of the journal"])


def test_an_event_that_was_sealed_after_the_export(data: Data) -> None:
    shown = sum("event" in event for event in data["events"])
    sealed(data, of_kind(data, "dissent"))
    why = f"{shown - 1} events were exported, {shown - 2} are shown; some were sealed since"
    assert verdict(data) == (1, [f"event {len(data['events'])}: {why}"])


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("plant", "Another Works", "the file names the plant Another Works, its revision names Quillmarch Works"),
        ("system", "S50", "event 143: it is the export of another record"),
        ("number", 7, "event 143: it is the export of another record"),
        ("journal", "ab" * 16, f"event 2: {MOVED}"),
    ],
)
def test_the_heading_that_was_changed(data: Data, name: str, value: Any, why: str) -> None:
    data[name] = value
    assert verdict(data) == (1, [why])


@pytest.mark.parametrize("field", ["at", "by", "identity"])
def test_who_exported_it_that_was_changed(data: Data, field: str) -> None:
    data["exported"][field] = "2019-01-01"
    last = len(data["events"])
    assert verdict(data) == (1, [f"event {last}: who exported the record, and when, was changed in the file"])


# Each place of a small record, without exception.


def places(value: Any, way: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Paths of all leaves and empty blocks of JSON data."""
    inner = (
        list(value.items()) if isinstance(value, dict) else list(enumerate(value)) if isinstance(value, list) else []
    )
    if not inner:
        yield way
    for name, child in inner:
        yield from places(child, (*way, name))


def other(value: Any) -> Any:
    """Another value of the same type."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int | float):
        return value + 1
    if isinstance(value, str):
        return value[:-1] + ("0" if value[-1] != "0" else "1") if value else "x"
    return {"x": 1} if value == {} else ["x"] if value == [] else "x"


def at(data: Data, way: tuple[str | int, ...]) -> Any:
    part: Any = data
    for step in way:
        part = part[step]
    return part


EDITIONS = (("revision", "facts", "banks"), ("revision", "facts", "methods"))
"""An edition that this program does not know: it is refused as written by a newer release."""


def test_every_single_value_that_is_changed_taken_out_or_turned_to_null_is_found(small_text: str) -> None:
    genuine = json.loads(small_text)
    assert verdict(genuine)[0] == 0
    ways = list(places(genuine))
    assert len(ways) > 300
    for way in ways:
        for change in (other, None, ...):
            forged = deepcopy(genuine)
            block, last = at(forged, way[:-1]), way[-1]
            if change is ...:
                del block[last]
            else:
                block[last] = None if change is None else other(block[last])
            if forged != genuine:
                status, lines = verdict(forged)
                assert (status in (1, 2), len(lines)) == (True, 1), way
            assert (
                status != 2
                or change is not other
                or way == ("record",)
                or way[:3] in EDITIONS
                or way == ("revision", "format")
            ), way


def test_a_key_that_is_put_into_any_block_is_found(small_text: str) -> None:
    genuine = json.loads(small_text)
    blocks = {way[:cut] for way in places(genuine) for cut in range(len(way)) if isinstance(way[cut], str)}
    assert len(blocks) > 30
    for way in blocks:
        forged = deepcopy(genuine)
        at(forged, way)["more"] = 1
        status, lines = verdict(forged)
        assert (status in (1, 2), len(lines)) == (True, 1), way


@settings(max_examples=200, deadline=None)
@given(where=st.floats(0, 1, exclude_max=True), byte=st.integers(0, 255))
def test_any_byte_that_is_changed_is_found_unless_it_means_the_same(small_text: str, where: float, byte: int) -> None:
    raw = bytearray(small_text.encode())
    raw[int(where * len(raw))] = byte
    text = raw.decode(errors="surrogateescape")
    status, lines = verdict(text)
    if status:
        assert len(lines) == 1
    else:
        assert json.loads(text) == json.loads(small_text)
