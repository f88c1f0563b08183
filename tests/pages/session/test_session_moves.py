"""Moving through a session: the address holds the question shown."""

from __future__ import annotations

import pytest

from checks.assessment import answer_effects
from checks.journal.store import Store
from checks.state.live import Live
from checks.text.number_format import factor
from scoring import common_cause
from tests.checks.given import answer
from tests.checks.journal.stored import history, save, say
from tests.pages.at_the_screen import unfold
from tests.pages.shown import Screen, answers, fine, onward, said, unescaped, where

SENSOR = list(common_cause.rows("sensor"))


def test_next_and_previous_go_one_question_on_and_back(store: Store, screen: Screen) -> None:
    before = store.version(1)
    at = fine(screen("common-cause", group="pt-301", q=SENSOR[3]))
    for button, name in (("next", SENSOR[4]), ("next", SENSOR[5]), ("previous", SENSOR[4])):
        fine(at.button(key=button).click().run())
        assert where(at, "q") == name
        assert f"{name} · question {SENSOR.index(name) + 1} of {len(SENSOR)}]" in said(at)
    assert store.version(1) == before, "moving stores nothing"


@pytest.mark.usefixtures("store")
def test_the_ends_of_a_session_are_ends(screen: Screen) -> None:
    first, last = (screen("common-cause", group="pt-301", q=name) for name in (SENSOR[0], SENSOR[-1]))
    assert (first.button(key="previous").disabled, first.button(key="next").disabled) == (True, False)
    assert (last.button(key="previous").disabled, last.button(key="next").disabled) == (False, True)


@pytest.mark.usefixtures("store")
def test_a_session_begins_at_the_first_question_without_an_answer(screen: Screen) -> None:
    assert "DIV8 · question" in said(screen("common-cause", group="pt-301"))
    assert "D05 · question" in said(screen("cyber", zone="Z5"))


def test_the_question_that_a_session_began_with_stays_once_it_is_answered(store: Store, screen: Screen) -> None:
    """Its effect would be on a screen that has leapt to another question."""
    at = fine(screen("common-cause", group="pt-301"))
    fine(answers(at, "DIV8", "group:pt-301").set_value("not-met").run())
    assert history(store, 1, "DIV8", "group:pt-301")[-1].answer.value == "not-met"
    assert "DIV8 · question" in said(at)
    assert answers(at, "DIV8", "group:pt-301").value == "not-met"


def test_nobody_is_moved_on_by_what_somebody_else_answers(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301"))
    save(store, 1, answer("DIV8", "group:pt-301", "partly"), seen=0, writer="somebody else")
    fine(at.run())
    assert "DIV8 · question" in said(at)


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize(
    ("url_path", "query", "name"),
    [
        ("common-cause", {"group": "pt-301"}, "TST1"),
        ("cyber", {"zone": "Z5"}, "P07"),
        ("cyber", {"zone": "Z5", "bank": "requirements"}, "SR 7.8"),
    ],
)
def test_a_jump_goes_to_the_question_that_is_chosen(
    screen: Screen, url_path: str, query: dict[str, str], name: str
) -> None:
    at = fine(screen(url_path, **query))
    fine(at.selectbox(key="jump").set_value(name).run())
    assert where(at, "q") == name
    assert f"· {name} · question" in said(at)
    assert at.selectbox(key="jump").value == name


def test_the_most_decisive_question_next_is_named_with_what_it_would_do(store: Store, screen: Screen) -> None:
    best = answer_effects.open_questions_of_group(Live(store, 1).state().assessment, "esv-501")[0]
    at = fine(screen("common-cause", group="esv-501", q="SEP1"))
    fine(at.button(key="decisive").click().run())
    assert where(at, "q") == best.question == "TST1"
    (sentence,) = [unescaped(element.value) for element in at.success]
    assert sentence == f"TST1: met, it would improve SIF-501 by a factor {factor(best.gain)}."
    fine(at.run())
    assert not at.success, "it is said once"


def test_where_no_answer_alone_moves_the_result_the_one_with_most_points_is_next(store: Store, screen: Screen) -> None:
    found = answer_effects.open_questions_of_group(Live(store, 1).state().assessment, "pos-210")
    assert {one.gain for one in found} == {1.0}, "no open answer about the lid switches reaches the next band alone"
    assert found[0].points == max(one.points for one in found)
    at = fine(screen("common-cause", group="pos-210", q="SEP1"))
    fine(at.button(key="decisive").click().run())
    (sentence,) = [unescaped(element.value) for element in at.success]
    assert where(at, "q") == found[0].question
    most = f"Of the questions left it scores most: {found[0].points:g}."
    assert sentence == f"{found[0].question} hardly moves {found[0].function}: under 1 %. {most}"


@pytest.mark.usefixtures("store")
def test_a_question_that_was_left_without_an_answer_is_not_the_next_most_decisive(screen: Screen) -> None:
    at = fine(screen("common-cause", group="esv-501", q="SEP1"))
    fine(at.button(key="decisive").click().run())
    assert where(at, "q") == "TST1"
    fine(at.button(key="previous").click().run())
    fine(at.button(key="decisive").click().run())
    assert where(at, "q") == "TST1", "Previous passes nothing"
    fine(at.button(key="decisive").click().run())
    left = where(at, "q")
    assert left != "TST1"
    fine(at.button(key="next").click().run())
    fine(at.button(key="decisive").click().run())
    assert where(at, "q") not in ("TST1", left)


def test_a_group_with_every_question_answered_leads_to_the_next_group(store: Store, screen: Screen) -> None:
    effective = Live(store, 1).state().assessment.answers_for("pt-301")
    for name in SENSOR:
        if name not in effective or effective[name].value == "unknown":
            say(store, 1, name, "group:pt-301", "not-met")
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    fine(at.button(key="decisive").click().run())
    assert where(at, "group") == "ls-sis"
    (sentence,) = [unescaped(element.value) for element in at.success]
    assert sentence.startswith(f"pt-301 has no other open question. ls-sis: {where(at, 'q')}: met, it would improve ")


@pytest.mark.usefixtures("store")
def test_the_progress_of_a_system_leads_to_what_is_open_in_its_groups_and_zones(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    plant = f"plant={where(at, 'plant')}"
    assert onward(at) == {"Next open question of S30: DIV8 of pt-301": f"{plant}&group=pt-301&q=DIV8"}
    shown = onward(unfold(at, "whole"))
    assert shown["pt-301: 25 of 26, 2 not known"] == f"{plant}&group=pt-301&q=DIV8"
    assert shown["Z6: 54 of 100"].startswith(f"{plant}&zone=Z6&bank=requirements&q=SR+1.1")
    assert len(shown) == 11


@pytest.mark.usefixtures("store")
def test_the_groups_are_walked_with_two_buttons(screen: Screen) -> None:
    at = fine(screen("common-cause", group="ls-sis", q="ASM1"))
    order = at.selectbox(key="choose_group").options
    fine(at.button(key="next_group").click().run())
    following = where(at, "group")
    assert where(at, "q") == where(screen("common-cause", group=following), "q"), "it begins as a visit does"
    assert [option.split()[0] for option in order].index(str(following)) == [
        option.split()[0] for option in order
    ].index("ls-sis") + 1
    fine(at.button(key="previous_group").click().run())
    assert where(at, "group") == "ls-sis"


def test_the_most_decisive_topic_of_a_zone_is_next(store: Store, screen: Screen) -> None:
    effects = answer_effects.open_topics_of_zone(Live(store, 1).state().assessment, "Z6")
    at = fine(screen("cyber", zone="Z6", q=effects[0].question))
    fine(at.button(key="decisive").click().run())
    expected = effects[1].question if len(effects) > 1 else effects[0].question
    assert where(at, "q") == expected, "the question that is on screen is not its own next"


@pytest.mark.usefixtures("store")
def test_another_group_begins_its_own_session(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="SEP1"))
    fine(at.selectbox(key="choose_group").set_value("ls-sis").run())
    assert where(at, "group") == "ls-sis"
    assert where(at, "q") == where(screen("common-cause", group="ls-sis"), "q")
    assert "Beta" in said(at)


@pytest.mark.usefixtures("store")
def test_another_zone_and_another_bank_begin_their_own_session(screen: Screen) -> None:
    at = fine(screen("cyber", zone="Z5", q="Z01"))
    fine(at.selectbox(key="choose_zone").set_value("Z6").run())
    assert (where(at, "zone"), where(at, "q")) == ("Z6", where(screen("cyber", zone="Z6"), "q"))
    fine(at.selectbox(key="choose_bank").set_value("requirements").run())
    assert where(at, "bank") == "requirements"
    assert "of 100]" in said(at)


@pytest.mark.usefixtures("store")
def test_progress_counts_what_is_answered(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="DIV8"))
    assert "**25 of 26 answered**" in said(at)
    fine(answers(at, "DIV8", "group:pt-301").set_value("met").run())
    assert "**26 of 26 answered**" in said(at)
    assert "Diversity and redundancy 4/4" in said(at)


@pytest.mark.usefixtures("store")
def test_half_typed_text_survives_a_look_at_the_store(screen: Screen) -> None:
    at = fine(screen("common-cause", group="pt-301", q="DIV8"))
    at.text_area(key="note_1_DIV8_group:pt-301").set_value("half a sen").run()
    fine(at.run())
    assert at.text_area(key="note_1_DIV8_group:pt-301").value == "half a sen"
