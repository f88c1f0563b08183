"""Names that mislead and texts that are too long are refused below the screens, at the one place where events are made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from checks.access.roles import NoName, Person
from checks.actions import recorded_actions
from checks.events.answering import dissent
from checks.journal.append import Entry
from checks.reassessment import change_records
from checks.reassessment.reopening import Change
from checks.record_files import verification
from checks.recording import answer_history, answer_records, answering, plant_import, recorder
from checks.signoff import accepted_gaps, keys, revisions, signatures
from checks.text.faults import Refused
from tests.checks.given import answer
from tests.checks.team import (
    ANSWERS,
    ASSESSES,
    DISSENT,
    EVIDENCE,
    LEADS,
    OWNS,
    PHRASE,
    Team,
    ahead,
    body_of,
    three_systems,
)

HIDDEN = "TM-2\u200b"
MIXED = "Ana Kоwalska"  # its first o is Cyrillic
SEEN = ("SEP1", "group:pt-301")
LONG = "x" * 2001
PUBLIC = signatures.make(PHRASE).public
ACTION = {"what": "split the taps", "owner": "operations", "due": date(2199, 1, 1)}

Deed = Callable[[Team, str], object]
ENTRIES: dict[str, Deed] = {
    "by": lambda team, name: answering.record(
        team.live, replace(ANSWERS, name=name), answer("SEP4", "group:pt-301").model_dump(), seen=0
    ),
    "people, 2": lambda team, name: answer_records.record_attendance(
        team.live, LEADS, system="S30", on="2025-03-04", people=[("R. Hale", ""), (name, "")]
    ),
    "who": lambda team, name: answer_records.record_dissent(team.live, ANSWERS, SEEN, {**DISSENT, "who": name}),
    "name of the key": lambda team, name: keys.enrol(
        team.live, OWNS, public=PUBLIC, name=name, roles=["independent assessor"]
    ),
    "owner": lambda team, name: recorded_actions.raise_one(team.live, LEADS, {**ACTION, "owner": name}),
    "answer to SEP4 of group:pt-301, by": lambda team, name: plant_import.import_plant(
        team.store,
        replace(LEADS, roles=LEADS.roles | ANSWERS.roles),
        three_systems().model_copy(
            update={"answers": [answer("SEP4", "group:pt-301").model_copy(update={"by": name})]}
        ),
    ),
}


@pytest.mark.parametrize("name", [HIDDEN, MIXED], ids=ascii)
@pytest.mark.parametrize("place", ENTRIES)
def test_a_name_that_misleads_enters_nowhere(team: Team, place: str, name: str) -> None:
    before = team.count()
    with pytest.raises(Refused) as refused:
        ENTRIES[place](team, name)
    assert [fault.place for fault in refused.value.faults] == [place.removesuffix(" of the key")]
    assert team.count() == before
    ENTRIES[place](team, "Ana Kowalska")
    assert team.count() > before


def test_the_verifier_of_an_action_is_a_name_too(team: Team) -> None:
    recorded_actions.raise_one(team.live, LEADS, ACTION)
    with pytest.raises(Refused, match=r"verifier: .*U\+200B"):
        recorded_actions.close(team.live, LEADS, "A-001", evidence="walk-down", verifier=HIDDEN)


def test_every_misleading_author_of_a_plant_file_is_listed_at_once(team: Team) -> None:
    answers = [
        answer(question, "group:pt-301").model_copy(update={"by": f"{question}\u202e"}) for question in ("SEP1", "SEP4")
    ]
    with pytest.raises(Refused) as refused:
        plant_import.store_plant(team.store, LEADS, three_systems().model_copy(update={"answers": answers}))
    assert [fault.place.split(" of ")[0] for fault in refused.value.faults] == ["answer to SEP1", "answer to SEP4"]


def test_what_an_earlier_release_recorded_still_opens_and_is_worked_on(team: Team) -> None:
    body = body_of(
        "answer",
        **answer("SEP4", "group:pt-301").model_copy(update={"by": HIDDEN, "evidence": "drawing 4"}).model_dump(),
    )
    team.store.record(1, Entry("answer", body.data(), HIDDEN, slot="answer group:pt-301 SEP4", writer="w"))
    other = dissent.Body(question="SEP4", of="group:pt-301", **{**DISSENT, "who": MIXED})
    team.store.record(1, Entry("dissent", other.data(), HIDDEN))
    raised = {
        **ACTION,
        "id": "A-001",
        "owner": HIDDEN,
        "raised_on": "2025-03-04",
        "raised_by": HIDDEN,
        "due": "2199-01-01",
    }
    team.store.record(1, Entry("action", body_of("action", **raised).data(), HIDDEN, slot="action A-001"))

    assert team.now().stored["SEP4", "group:pt-301"].answer.by == HIDDEN
    answer_records.close_dissent(team.live, ANSWERS, ("SEP4", "group:pt-301"), who=MIXED, shown_by="a photo")
    recorded_actions.close(team.live, LEADS, "A-001", evidence="walk-down", verifier="technical authority")
    team.say("SEP4", "group:pt-301", "partly")
    answer_history.take_back(
        team.live, ANSWERS, ("SEP4", "group:pt-301"), seen=team.now().stored["SEP4", "group:pt-301"].id
    )
    assert team.now().stored["SEP4", "group:pt-301"].answer.by == HIDDEN
    team.signed()
    assert list(verification.verify_store(team.store))


@pytest.mark.parametrize("name", ["", "  "])
def test_an_answer_without_a_name_is_refused_below_the_screens(team: Team, name: str) -> None:
    before = team.count()
    with pytest.raises(NoName):
        answering.record(team.live, Person(name, ANSWERS.roles), answer("SEP4", "group:pt-301").model_dump(), seen=0)
    assert team.count() == before


BATCH = Change("device-same-batch", frozenset({"group:pt-301"}), frozenset({"T2"}))
TEXTS: dict[str, Deed] = {
    "note": lambda team, text: answering.record(
        team.live, ANSWERS, {**answer("SEP4", "group:pt-301").model_dump(), "note": text}, seen=0
    ),
    "shows": lambda team, text: answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "shows": text}),
    "reason": lambda team, text: answer_records.record_dissent(team.live, ANSWERS, SEEN, {**DISSENT, "reason": text}),
    "reason of a gap": lambda team, text: accepted_gaps.accept_gaps(
        team.live, OWNS, [("S30", "sis", "Z01")], reason=text, until=ahead(30)
    ),
    "comments": lambda team, text: revisions.send_back(
        team.live, ASSESSES, team.put_up(), half="safety", comments=text
    ),
    "reason of a key": lambda team, text: keys.withdraw(
        team.live, OWNS, key=team.key_of("safety"), from_day=ahead(1), reason=text
    ),
    "what": lambda team, text: change_records.record_change(
        team.live, LEADS, BATCH, reference="", on="2025-03-04", what=text
    ),
}


@pytest.mark.parametrize("place", TEXTS)
def test_a_text_longer_than_its_bound_is_refused_with_its_place_and_bound(team: Team, place: str) -> None:
    team.say("Z01", "zone:sis", "not-met")
    with pytest.raises(Refused) as refused:
        TEXTS[place](team, LONG)
    (fault,) = refused.value.faults
    assert (fault.place, "2000" in fault.allowed) == (place.partition(" of ")[0], True)


def test_the_longest_text_is_stored(team: Team) -> None:
    answer_records.add_evidence(team.live, ANSWERS, SEEN, {**EVIDENCE, "shows": LONG[1:]})
    assert team.now().records.evidence[SEEN][-1].shows == LONG[1:]


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("export", {"what": LONG}),
        ("interval", {"system": LONG, "months": 3}),
        ("evidence-withdrawn", {"question": "SEP1", "of": "plant", "evidence": 3, "reason": LONG}),
        ("confirmed", {"answers": [{"question": "SEP1", "of": LONG}]}),
        ("attendance", {"system": "S30", "on": "2025-03-04", "people": [{"name": "A", "role": LONG}]}),
    ],
)
def test_an_event_made_without_its_checks_is_bounded_all_the_same(
    team: Team, kind: str, fields: dict[str, Any]
) -> None:
    everybody = replace(LEADS, roles=LEADS.roles | ANSWERS.roles | OWNS.roles)
    with pytest.raises(Refused, match="2001 characters; at most 2000"):
        recorder.record(team.live, everybody, body_of(kind, **fields))


def test_the_data_of_a_whole_plant_are_not_bounded(team: Team) -> None:
    zones = {f"z{number}": {"name": "Z" * 200} for number in range(60)}
    raw = three_systems().model_dump(mode="json", exclude_unset=True)
    raw["zones"] |= zones
    team.change(type(three_systems()).model_validate(raw))
    assert len(team.now().plant.zones) > 60


def test_the_attendees_of_one_session_are_bounded(team: Team) -> None:
    people = [(f"TM-{number}", "") for number in range(101)]
    with pytest.raises(Refused, match="people: 101 people; name at least one person, at most 100"):
        answer_records.record_attendance(team.live, LEADS, system="S30", on="2025-03-04", people=people)
    answer_records.record_attendance(team.live, LEADS, system="S30", on="2025-03-04", people=people[1:])
