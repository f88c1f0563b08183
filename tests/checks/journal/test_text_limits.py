"""Text is stored character by character or refused with a reason, the same on each database."""

from __future__ import annotations

from typing import Any

import pytest

from checks.access.roles import MEMBER, Person
from checks.journal.append import Entry
from checks.journal.store import Store
from checks.plantfile import plant_file
from checks.plantfile.plant import Answer
from checks.recording import answering
from checks.state.live import Live
from checks.text.faults import Refused
from tests.checks.given import bare_plant, changed, told
from tests.checks.journal.stored import answers_after, history, import_plant, plant_data, save, say

OF = "group:pt-301"
LONG_NAME = "漢🏭é" * 66 + "ab"
"""200 characters of one to four bytes, the longest name allowed."""
UNSTORABLE = ["\0", "a\0b", "\ud83c", "a\udfedb"]


def fields(**more: str) -> dict[str, str]:
    return {"question": "SEP1", "of": OF, "value": "met", "evidence": "", "note": "", "by": "", "on": "", **more}


def test_the_longest_names_and_texts_come_back_letter_by_letter(store: Store) -> None:
    about = bare_plant().plant.model_copy(update={"name": LONG_NAME, "note": LONG_NAME * 10})
    key = import_plant(store, bare_plant().model_copy(update={"plant": about}), by=LONG_NAME, writer="w" * 64)
    kept = say(store, key, "SEP1", OF, by=LONG_NAME, evidence=LONG_NAME * 10, note=LONG_NAME * 10)
    assert store.plants() == {key: LONG_NAME}
    assert plant_data(store, key).plant == about
    assert history(store, key, "SEP1", OF) == [kept]
    assert store.events(key)[0].by == LONG_NAME
    assert store.verify(key)[0] == 2


def test_control_characters_come_back_as_they_were(store: Store, key: int) -> None:
    text = "".join(map(chr, (*range(1, 32), *range(127, 160), 0x2028, 0xFEFF, 0xFFFF, 0x10FFFF)))
    kept = say(store, key, "SEP1", OF, by=text, evidence=text)
    assert history(store, key, "SEP1", OF) == [kept]
    assert store.verify(key)[0] == 2


@pytest.mark.parametrize("text", UNSTORABLE, ids=ascii)
@pytest.mark.parametrize("field", ["evidence", "note", "by"])
def test_an_answer_with_what_cannot_be_stored_is_refused_by_the_name_of_its_field(
    store: Store, key: int, field: str, text: str
) -> None:
    written = fields(**{field: text})
    with pytest.raises(Refused) as refused:
        answering.record(Live(store, key), Person(written["by"], frozenset({MEMBER})), written, seen=0)
    (fault,) = refused.value.faults
    assert fault.place == field
    assert str(fault).endswith("; allowed: text without NUL and without halves of characters")
    assert str(fault).isprintable()
    assert store.version(key).last == 1


@pytest.mark.parametrize("escape", ["\\0", "\\x00", "\\u0000"])
def test_a_plant_file_with_nul_in_a_name_is_refused_with_its_line(escape: str) -> None:
    lines = told(changed(("name: Pressure transmitter", f'name: "Pressure{escape}transmitter"')))
    assert len(lines) == 1
    assert lines[0].startswith("FILE: devices.PT.name (line ")
    assert "text without NUL" in lines[0]


def test_a_plant_file_read_as_text_with_nul_in_its_name_is_refused() -> None:
    text = plant_file.to_text(bare_plant()).replace("name: Quillmarch Works", 'name: "Quillmarch\\0Works"')
    with pytest.raises(Refused, match=r"plant\.name"):
        plant_file.from_text("FILE", text)


ENTRY: dict[str, Any] = {"kind": "change", "body": {"what": "a valve"}, "by": "A", "slot": "s", "writer": "w"}


@pytest.mark.parametrize(
    ("field", "value", "place", "expected"),
    [
        ("by", "x" * 201, "by", "201 characters; at most 200"),
        ("identity", "x" * 241, "identity", "241 characters; at most 240"),
        ("slot", "x" * 241, "slot", "241 characters; at most 240"),
        ("writer", "x" * 65, "writer", "65 characters; at most 64"),
        ("by", "a\0b", "by", "contains what cannot be stored; text without NUL"),
        ("slot", "\ud800", "slot", "contains what cannot be stored"),
        ("body", {"what": "a\0b"}, "what", "contains what cannot be stored"),
        ("body", {"people": [{"name": "A"}, {"name": "\udc00"}]}, "name", "contains what cannot be stored"),
    ],
)
def test_whatever_else_is_recorded_fits_or_is_refused_with_its_place(
    store: Store, key: int, field: str, value: Any, place: str, expected: str
) -> None:
    with pytest.raises(Refused) as refused:
        store.record(key, Entry(**{**ENTRY, field: value}))
    (fault,) = refused.value.faults
    assert fault.place == place
    assert expected in str(fault)
    assert store.version(key).last == 1
    assert [event.seq for event in store.record(key, Entry(**ENTRY))] == [2]


@pytest.mark.parametrize("by", ["x" * 201, "a\0b"])
def test_an_import_by_a_name_that_cannot_be_stored_is_refused_and_stores_nothing(store: Store, by: str) -> None:
    with pytest.raises(Refused, match="by: "):
        import_plant(store, bare_plant(), by=by, writer="w")
    assert store.plants() == {}


def test_an_answer_made_without_its_checks_is_refused_by_the_store_itself(store: Store, key: int) -> None:
    unchecked = Answer.model_construct(**fields(note="a\0b"))
    with pytest.raises(Refused, match="note: contains what cannot be stored"):
        save(store, key, unchecked, seen=0, writer="w")
    assert answers_after(store, key, 0) == []
