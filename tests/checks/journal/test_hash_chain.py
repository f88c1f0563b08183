"""The journal shows tampering: a changed, removed, reordered or foreign event is found where it stands."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checks.journal.event import DECLARED, Event
from checks.journal.hash_chain import START, ChainBroken, Link, chained, check, links
from checks.text.canonical import canonical

NAME = "f0" * 16
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


def event(seq: int, **more: object) -> Event:
    body = canonical({"value": "met", "evidence": f"drawing {seq}"}).decode()
    held = Event(
        NAME,
        seq,
        "answer",
        "answer plant PRO1",
        seq - 1,
        f"2025-03-04T10:00:0{seq % 10}",
        "FS-1",
        DECLARED,
        "w",
        "5a",
        body,
    )
    return replace(held, **more)  # type: ignore[arg-type]


def chain(count: int = 6) -> list[Link]:
    return list(links(event(seq) for seq in range(1, count + 1)))


def test_numbers_and_strings_are_written_as_rfc_8785_shows_them() -> None:
    """RFC 8785, sections 3.2.2 (input) and 3.2.4 (bytes): from memory."""
    told = json.loads(
        r'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
        r'"string": "\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}'
    )
    expected = (
        "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e"
        "333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c"
        "6e4127425c225c5c5c5c5c222f227d"
    )
    assert canonical(told).hex() == expected
    assert canonical({"\u20ac": 1, "\r": 2, "\U0001f600": 3, "1": 4, "\ufb33": 5}).decode() == (
        '{"\\r":2,"1":4,"\u20ac":1,"\U0001f600":3,"\ufb33":5}'
    ), "names in the order of UTF-16 units, section 3.2.3"


@given(by=TEXT, evidence=TEXT)
def test_an_events_digest_is_the_sha_256_of_its_canonical_form(by: str, evidence: str) -> None:
    one = event(1, by=by, body=canonical({"evidence": evidence}).decode())
    whole = {
        "journal": one.journal,
        "seq": 1,
        "kind": "answer",
        "slot": "answer plant PRO1",
        "follows": 0,
        "at": one.at,
        "by": by,
        "identity": DECLARED,
        "writer": "w",
        "salt": "5a",
        "body": {"evidence": evidence},
    }
    assert one.digest() == sha256(canonical(whole)).hexdigest()
    assert chained(START, one.digest()) == sha256(canonical({"digest": one.digest(), "previous": START})).hexdigest()


def test_a_journal_that_nobody_touched_fits_and_tells_its_length() -> None:
    held = chain()
    assert check(held, journal=NAME) == (6, held[-1].hash)
    assert check([], journal=NAME) == (0, START)


def test_events_may_be_sealed_and_the_chain_is_followed_through_their_digests() -> None:
    held = [replace(one, event=None) if one.seq % 2 else one for one in chain()]
    assert check(held, journal=NAME)[0] == 6


def _body(one: Link) -> Link:
    assert one.event is not None
    return replace(one, event=replace(one.event, body=one.event.body.replace("met", "not-met")))


@pytest.mark.parametrize("shown", ["open", "sealed"])
@pytest.mark.parametrize(
    ("change", "found"),
    [
        (lambda held: [*held[:2], *held[3:]], 3),
        (lambda held: [held[1], held[0], *held[2:]], 1),
        (lambda held: [*held[:3], held[4], held[3], held[5]], 4),
        (lambda held: [*held[:2], replace(held[2], hash="0" * 64), *held[3:]], 3),
        (lambda held: [*held[:2], replace(held[2], digest="0" * 64), *held[3:]], 3),
        (lambda held: [*held[:3], replace(held[2], seq=4), *held[4:]], 4),
        (lambda held: [*held, replace(held[5], seq=7)], 7),
    ],
)
def test_what_was_removed_reordered_changed_or_put_in_is_found_where_it_stands(
    change: Callable[[list[Link]], list[Link]], found: int, shown: str
) -> None:
    held = [replace(one, event=None) for one in chain()] if shown == "sealed" else chain()
    with pytest.raises(ChainBroken, match=f"^event {found}: ") as broken:
        check(change(held), journal=NAME)
    assert broken.value.seq == found


@pytest.mark.parametrize(
    "fields",
    [
        {"by": "FS-2"},
        {"at": "2025-03-05T10:00:03"},
        {"kind": "note"},
        {"slot": None},
        {"follows": 0},
        {"writer": "x"},
        {"identity": "signed in"},
        {"salt": "5b"},
        {"body": '{"value":"met"}'},
    ],
)
def test_a_change_of_any_field_of_an_event_is_found(fields: dict[str, object]) -> None:
    held = chain()
    held[2] = replace(held[2], event=event(3, **fields))
    with pytest.raises(ChainBroken, match=r"^event 3: its content was changed after it was written$"):
        check(held, journal=NAME)


def test_an_event_written_anew_with_its_own_hash_is_found_by_the_next_one() -> None:
    held = chain()
    held[2] = next(links([event(3, by="FS-2")], previous=held[1].hash))
    with pytest.raises(ChainBroken, match=r"^event 4: "):
        check(held, journal=NAME)


def test_an_event_of_another_journal_fits_nowhere() -> None:
    held = list(links([event(1), event(2, journal="0f" * 16)]))
    with pytest.raises(ChainBroken, match=r"^event 2: it was moved here from another place$"):
        check(held, journal=NAME)


@given(seq=st.integers(1, 6), change=TEXT)
def test_any_other_text_in_any_body_is_found(seq: int, change: str) -> None:
    held = chain()
    body = canonical({"evidence": change}).decode()
    held[seq - 1] = replace(held[seq - 1], event=event(seq, body=body))
    with pytest.raises(ChainBroken, match=f"^event {seq}: "):
        check(held, journal=NAME)
