"""The journal shows tampering: a changed, removed, reordered or foreign event is found at its place."""

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
    whole = Event(
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
    return replace(whole, **more)  # type: ignore[arg-type]


def chain(count: int = 6) -> list[Link]:
    return list(links(event(seq) for seq in range(1, count + 1)))


def test_numbers_and_strings_are_written_as_rfc_8785_shows_them() -> None:
    """RFC 8785, sections 3.2.2 (input) and 3.2.4 (bytes): from memory."""
    content = json.loads(
        r'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
        r'"string": "\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}'
    )
    expected = (
        "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e"
        "333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c"
        "6e4127425c225c5c5c5c5c222f227d"
    )
    assert canonical(content).hex() == expected
    assert canonical({"\u20ac": 1, "\r": 2, "\U0001f600": 3, "1": 4, "\ufb33": 5}).decode() == (
        '{"\\r":2,"1":4,"\u20ac":1,"\U0001f600":3,"\ufb33":5}'
    ), "names in the order of UTF-16 units, section 3.2.3"


@given(by=TEXT, evidence=TEXT)
def test_an_events_digest_is_the_sha_256_of_its_canonical_form(by: str, evidence: str) -> None:
    signed_event = event(1, by=by, body=canonical({"evidence": evidence}).decode())
    whole = {
        "journal": signed_event.journal,
        "seq": 1,
        "kind": "answer",
        "slot": "answer plant PRO1",
        "follows": 0,
        "at": signed_event.at,
        "by": by,
        "identity": DECLARED,
        "writer": "w",
        "salt": "5a",
        "body": {"evidence": evidence},
    }
    assert signed_event.digest() == sha256(canonical(whole)).hexdigest()
    assert (
        chained(START, signed_event.digest())
        == sha256(canonical({"digest": signed_event.digest(), "previous": START})).hexdigest()
    )


def test_a_journal_that_nobody_touched_fits_and_tells_its_length() -> None:
    chain_links = chain()
    assert check(chain_links, journal=NAME) == (6, chain_links[-1].hash)
    assert check([], journal=NAME) == (0, START)


def test_events_may_be_sealed_and_the_chain_is_followed_through_their_digests() -> None:
    chain_links = [replace(link, event=None) if link.seq % 2 else link for link in chain()]
    assert check(chain_links, journal=NAME)[0] == 6


def _body(link: Link) -> Link:
    assert link.event is not None
    return replace(link, event=replace(link.event, body=link.event.body.replace("met", "not-met")))


@pytest.mark.parametrize("shown", ["open", "sealed"])
@pytest.mark.parametrize(
    ("change", "place"),
    [
        (lambda chain_links: [*chain_links[:2], *chain_links[3:]], 3),
        (lambda chain_links: [chain_links[1], chain_links[0], *chain_links[2:]], 1),
        (lambda chain_links: [*chain_links[:3], chain_links[4], chain_links[3], chain_links[5]], 4),
        (lambda chain_links: [*chain_links[:2], replace(chain_links[2], hash="0" * 64), *chain_links[3:]], 3),
        (lambda chain_links: [*chain_links[:2], replace(chain_links[2], digest="0" * 64), *chain_links[3:]], 3),
        (lambda chain_links: [*chain_links[:3], replace(chain_links[2], seq=4), *chain_links[4:]], 4),
        (lambda chain_links: [*chain_links, replace(chain_links[5], seq=7)], 7),
    ],
)
def test_what_was_removed_reordered_changed_or_put_in_is_found_where_it_stands(
    change: Callable[[list[Link]], list[Link]], place: int, shown: str
) -> None:
    chain_links = [replace(link, event=None) for link in chain()] if shown == "sealed" else chain()
    with pytest.raises(ChainBroken, match=f"^event {place}: ") as broken:
        check(change(chain_links), journal=NAME)
    assert broken.value.seq == place


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
    chain_links = chain()
    chain_links[2] = replace(chain_links[2], event=event(3, **fields))
    with pytest.raises(ChainBroken, match=r"^event 3: its content was changed after it was written$"):
        check(chain_links, journal=NAME)


def test_an_event_written_anew_with_its_own_hash_is_found_by_the_next_one() -> None:
    chain_links = chain()
    chain_links[2] = next(links([event(3, by="FS-2")], previous=chain_links[1].hash))
    with pytest.raises(ChainBroken, match=r"^event 4: "):
        check(chain_links, journal=NAME)


def test_an_event_of_another_journal_fits_nowhere() -> None:
    chain_links = list(links([event(1), event(2, journal="0f" * 16)]))
    with pytest.raises(ChainBroken, match=r"^event 2: it was moved here from another place$"):
        check(chain_links, journal=NAME)


@given(seq=st.integers(1, 6), change=TEXT)
def test_any_other_text_in_any_body_is_found(seq: int, change: str) -> None:
    chain_links = chain()
    body = canonical({"evidence": change}).decode()
    chain_links[seq - 1] = replace(chain_links[seq - 1], event=event(seq, body=body))
    with pytest.raises(ChainBroken, match=f"^event {seq}: "):
        check(chain_links, journal=NAME)
