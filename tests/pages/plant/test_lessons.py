"""Plant says what its revisions teach, from the figures, and leads to where it is seen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from checks.access.roles import VIEWER
from checks.assessment.assessment import Assessment
from checks.comparison import lessons
from checks.comparison.differences import DataFact
from checks.comparison.lessons import Lessons
from checks.journal.store import Store
from checks.plantfile.plant import Plant
from checks.revision import basis
from checks.signoff import revisions
from checks.state.live import Live
from checks.text.number_format import factor, measure
from pages.presentation import lesson_words
from tests.checks.given import plain
from tests.pages.at_the_screen import as_, completed
from tests.pages.shown import Holding, Screen, fine, onward, rows, said

HEAD = "What the revisions show"


def _revisions(store: Store, system: str) -> list[Assessment]:
    live = Live(store, 1)
    listed = live.state().records.revisions[system]
    return [basis.revision_assessment(revisions.fixed_body(live, revision)) for revision in listed]


def test_the_first_record_hid_the_function_that_met_its_target_there_and_never_again(
    store: Store, screen: Screen
) -> None:
    first, later, *_ = (each.function("SIF-401") for each in _revisions(store, "S40"))
    assert first.meets("scored")
    assert not later.meets("scored")
    said_then, found = (measure("low", each.cases.scored) for each in (first, later))
    at = completed(screen("plant"))
    shown = said(at)
    label = f"What the first record hid: SIF-401, RRF {said_then} said, {found} found"
    query = onward(at)[label]
    for part in ("system=S40", "from=0", "to=1", "function=SIF-401"):
        assert part in query
    assert "Revision 0 (Contractor report CR-16-04, 2016): SIF-401 meets the target" in shown
    assert "The same at SIF-701." in shown


def test_the_purchase_that_bought_little_is_the_second_level_transmitter(store: Store, screen: Screen) -> None:
    """Brute force: the plant of revision 1 with the group of revision 2 in the place of the old one, and nothing else."""
    _, old, new, _ = _revisions(store, "S70")
    groups = {**old.plant.groups, "lt-701": new.plant.groups["lt-701"]}
    function = old.plant.functions["SIF-701"].model_copy(update={"groups": ["lt-701", "ls-sis", "esv-701"]})
    plant = old.plant.model_copy(
        update={
            "devices": {**old.plant.devices, **new.plant.devices},
            "groups": groups,
            "functions": {**old.plant.functions, "SIF-701": function},
        }
    )
    swapped = Assessment(plant, old.answers, editions=old.editions).function("SIF-701").cases.adjusted
    found = Lessons((), lessons.effects("S70", (1, 2), old, new)).worst_purchase
    assert found is not None
    assert found.step.gain_alone == pytest.approx(old.function("SIF-701").cases.adjusted / swapped, rel=1e-9)
    at = completed(screen("plant", filter="S70"))
    assert "from=1" in onward(at)["The purchase that bought little: lt-701 for SIF-701"]
    assert f"a factor {factor(found.step.gain)}: lt-701 (1oo2) in place of ltr-701 (1oo1)" in said(at)


def test_the_change_that_bought_most_is_a_test_interval_that_still_stands(store: Store, screen: Screen) -> None:
    """Brute force: revision 2 with the shorter interval alone. A greater gain of S40 was undone since and is not named."""
    _, _, old, new = _revisions(store, "S70")
    group = old.plant.groups["esv-701"]
    assert group.proof_test is not None
    shorter = group.proof_test.model_copy(update={"interval_h": 4380.0})
    changed = {**old.plant.groups, "esv-701": group.model_copy(update={"proof_test": shorter})}
    plant = old.plant.model_copy(update={"groups": changed})
    after = Assessment(plant, old.answers, links=old.links, editions=old.editions).function("SIF-701").cases.adjusted
    present = Live(store, 1).state().assessment
    of_s70 = lessons.effects("S70", (2, 3), old, new)
    best = Lessons((), of_s70).best_change(present)
    assert best is not None
    assert best.step.gain_alone == pytest.approx(old.function("SIF-701").cases.adjusted / after, rel=1e-9)
    _, before, later, _ = _revisions(store, "S40")
    undone = max(lessons.effects("S40", (1, 2), before, later), key=lambda effect: effect.step.gain)
    assert undone.step.gain > best.step.gain
    assert not undone.stands(present)
    label = f"The change without equipment that bought most: a factor {factor(best.step.gain)} for SIF-701"
    at = completed(screen("plant"))
    assert "from=2" in onward(at)[label]
    assert "proof-test interval of esv-701 8,760 → 4,380 h" in said(at)


def test_an_answer_that_was_not_given_before_is_no_change(store: Store) -> None:
    first, later, *_ = _revisions(store, "S30")
    for effect in lessons.effects("S30", (0, 1), first, later):
        assert all(isinstance(fact, DataFact) or fact.old is not None for fact in effect.step.facts)


def test_nothing_is_said_of_figures_that_this_program_does_not_compute(store: Store) -> None:
    _, old, new, _ = _revisions(store, "S70")
    old.reproduced = False
    assert lessons.effects("S70", (1, 2), old, new) == ()


def test_where_nothing_was_hidden_the_headline_says_overstated(store: Store) -> None:
    first, later, *_ = _revisions(store, "S30")
    claim = max(lessons.claims("S30", (0, 1), first, later), key=lambda each: each.worse)
    assert not claim.hid
    head, text = lesson_words.first_record([claim], None)
    assert head.startswith("What the first record overstated: ")
    assert "Today" not in text
    purchased = replace(claim, source="")
    assert "()" not in lesson_words.first_record([purchased], None)[1]


@pytest.mark.usefixtures("store")
def test_a_plant_without_revisions_and_a_viewer_see_none_of_it(holding: Holding, screen: Screen) -> None:
    at = as_(completed(screen("plant")), "VW-1", VIEWER)
    assert HEAD not in said(completed(at))
    raw = plain()
    raw["answers"] = []
    holding(Plant.model_validate(raw))
    at = completed(fine(screen("plant")))
    assert HEAD not in said(at)
    assert rows(at, "Functions with target")
