"""The present state follows the store, for writes of any process."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from checks.analysis.json_results import outcome
from checks.assessment.answers import Answers
from checks.assessment.assessment import Assessment
from checks.journal.store import Store
from checks.state.live import Live
from tests.checks.given import answer, bare_plant, valid_plant
from tests.checks.journal.stored import answers_after, import_plant, many, plant_data, save, say, statements

OF = "group:pt-301"


def fresh(store: Store, key: int) -> Assessment:
    """The assessment computed from the store alone."""
    return Assessment(plant_data(store, key), Answers(stored.answer for stored in answers_after(store, key, 0)))


def test_an_answer_through_another_store_is_seen_at_the_next_look(store: Store, key: int, url: str) -> None:
    live = Live(store, key)
    before = live.state()
    stored = say(Store(url), key, "SEP1", OF, "met")
    after = live.state()
    assert ("SEP1", OF) not in before.stored
    assert after.stored["SEP1", OF] == stored
    assert after.version.last == stored.id
    assert after.assessment.group("pt-301").answers["SEP1"] == stored.answer


def test_new_data_through_another_store_are_seen_at_the_next_look(store: Store, key: int, url: str) -> None:
    live = Live(store, key)
    kept = say(store, key, "SEP1", OF)
    assert live.state().plant.conventions.exposure_rule == "graded"
    import_plant(Store(url), bare_plant(exposure_rule="none"), by="", writer="w")
    assert live.state().plant.conventions.exposure_rule == "none"
    assert live.state().stored["SEP1", OF] == kept


def test_while_nothing_changes_the_same_state_is_given_for_one_small_query(store: Store, key: int) -> None:
    live = Live(store, key)
    first = live.state()
    with statements(store) as sent:
        assert live.state() is first
    assert sum(statement.startswith("SELECT") for statement in sent) == 1


def test_a_state_does_not_change_under_the_hands_of_the_one_who_holds_it(store: Store, key: int) -> None:
    live = Live(store, key)
    state = live.state()
    shown = outcome(state.assessment)
    say(store, key, "SEP1", OF)
    live.state()
    assert ("SEP1", OF) not in state.stored
    assert outcome(state.assessment) == shown


def test_after_many_answers_the_results_equal_those_computed_afresh(store: Store, key: int) -> None:
    live = Live(store, key)
    live.state()
    drawn = many(bare_plant(), 260)
    assert {item.of.partition(":")[0] for item in drawn} == {"plant", "system", "zone", "group"}
    for at, item in enumerate(drawn):
        say(store, key, item.question, item.of, item.value, evidence=item.evidence)
        if at % 13 == 0:
            outcome(live.state().assessment)  # compute first, so that a stale cache would show
    assert outcome(live.state().assessment) == outcome(fresh(store, key))
    assert live.state().version == store.version(key)


@pytest.mark.parametrize(
    ("question", "of", "value"),
    [
        ("PRO1", "plant", "not-met"),
        ("P03", "plant", "not-met"),
        ("ASM1", "system:S40", "not-met"),
        ("A05", "zone:sis", "not-met"),
        ("SR 7.3", "zone:sis", "not-met"),
        ("SEP1", "group:ls-sis", "met"),
        ("S03", "group:pt-301", "met"),
    ],
)
def test_one_answer_of_any_addressee_renews_every_result_that_it_moves(
    store: Store, question: str, of: str, value: str
) -> None:
    key = import_plant(store, valid_plant(), by="", writer="w")
    live = Live(store, key)
    before = outcome(live.state().assessment)  # compute everything first, so that a stale cache would show
    say(store, key, question, of, value)
    after = outcome(live.state().assessment)
    assert after == outcome(fresh(store, key))
    assert after != before


def test_a_follower_that_starts_late_holds_the_same_as_one_that_saw_it_all(store: Store, key: int) -> None:
    early = Live(store, key)
    for item in many(bare_plant(), 80):
        early.state()
        say(store, key, item.question, item.of, item.value)
    say(store, key, "SEP1", OF, "met")
    say(store, key, "SEP1", OF, "not-met")
    late = Live(store, key)
    assert dict(early.state().stored) == dict(late.state().stored)
    assert dict(early.state().replaced) == dict(late.state().replaced)
    assert early.state().version == late.state().version


def test_before_a_first_answer_there_was_none(store: Store, key: int) -> None:
    say(store, key, "SEP1", OF, "met")
    before = Live(store, key).state().before("SEP1", OF)
    assert "SEP1" not in before.group("pt-301").answers
    assert outcome(before) == outcome(Assessment(bare_plant()))


def test_before_a_changed_answer_the_one_it_replaced_held(store: Store, key: int) -> None:
    for value in ("partly", "met", "not-met"):
        say(store, key, "SEP1", OF, value)
    before = Live(store, key).state().before("SEP1", OF)
    assert before.group("pt-301").answers["SEP1"].value == "met"


def test_evidence_added_to_an_answer_replaces_nothing(store: Store, key: int) -> None:
    say(store, key, "SEP1", OF, "partly")
    say(store, key, "SEP1", OF, "met")
    say(store, key, "SEP1", OF, "met", evidence="drawing 4")
    before = Live(store, key).state().before("SEP1", OF)
    assert before.group("pt-301").answers["SEP1"].value == "partly"


def test_before_an_answer_that_nobody_gave_all_is_as_now(store: Store, key: int) -> None:
    state = Live(store, key).state()
    assert state.before("SEP1", OF) is state.assessment


def test_looking_while_others_write_never_goes_back(store: Store, key: int, url: str) -> None:
    live, writers = Live(store, key), [Store(url) for _ in range(2)]
    drawn = many(bare_plant(), 60)[:45]  # each question once

    def write(at: int) -> None:
        for item in drawn[at::2]:
            save(writers[at], key, answer(item.question, item.of, item.value), seen=0, writer=f"w{at}")

    def look(_at: int) -> list[int]:
        return [live.state().version.last for _ in range(60)]

    with ThreadPoolExecutor(4) as threads:
        wrote = [threads.submit(write, at) for at in range(2)]
        looked = [threads.submit(look, at) for at in range(2)]
        for future in wrote:
            future.result()
        for future in looked:
            assert future.result() == sorted(future.result())
    assert outcome(live.state().assessment) == outcome(fresh(store, key))
