"""Search finds by id and by words, best first, and only what its reader may see."""

from __future__ import annotations

import pytest

from checks.access.roles import MEMBER, VIEWER, Person
from checks.state.live import State
from checks.visibility import redaction, search
from tests.checks.team import Team, founded, three_systems


@pytest.fixture(scope="module")
def team(tmp_path_factory: pytest.TempPathFactory) -> Team:
    plant = three_systems()
    group = plant.groups["pt-301"].model_copy(update={"tags": ["PT-301A", "PT-301B"]})
    return founded(
        tmp_path_factory.mktemp("search") / "answers.sqlite3",
        plant.model_copy(update={"groups": {**plant.groups, "pt-301": group}}),
    )


@pytest.fixture
def state(team: Team) -> State:
    return team.now()


def found(state: State, text: str, **here: str | None) -> list[tuple[str, str]]:
    return [(match.kind, match.key) for match in search.find(state, text, here=here)]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("SIF-501", ("function", "SIF-501")),
        ("sif-501", ("function", "SIF-501")),
        ("drum level", ("function", "SIF-501")),
        ("level drum", ("function", "SIF-501")),
        ("pt-301", ("group", "pt-301")),
        ("PT-301B", ("tag", "PT-301B")),
        ("S50", ("system", "S50")),
        ("compressor", ("zone", "package")),
        ("LT", ("device", "LT")),
        ("SEP1", ("question", "SEP1")),
        ("Z01", ("question", "Z01")),
    ],
)
def test_each_kind_of_thing_is_found_by_its_id_or_by_words_in_any_order(
    state: State, text: str, first: tuple[str, str]
) -> None:
    assert found(state, text)[0] == first


def test_a_match_says_where_it_is_shown(state: State) -> None:
    by_key = {
        match.key: match for text in ("PT-301B", "LT", "SEP1", "Z01") for match in search.find(state, text, here={})
    }
    assert by_key["PT-301B"].place == {"group": "pt-301"}
    assert by_key["LT"].place == {"group": "lt-501"}
    assert (by_key["SEP1"].place, by_key["SEP1"].bank) == ({"group": "pt-301", "q": "SEP1"}, "common-cause")
    assert (by_key["Z01"].place["q"], by_key["Z01"].bank) == ("Z01", "cyber")


def test_a_question_is_opened_for_the_group_or_zone_that_is_shown(state: State) -> None:
    (here,) = [match for match in search.find(state, "SEP1", here={"group": "lt-501"}) if match.key == "SEP1"]
    assert here.place["group"] == "lt-501"
    (there,) = [match for match in search.find(state, "Z01", here={"zone": "package"}) if match.key == "Z01"]
    assert there.place["zone"] == "package"


@pytest.mark.parametrize("text", ["", "   ", "no such thing anywhere"])
def test_nothing_is_found_for_nothing(state: State, text: str) -> None:
    assert found(state, text) == []


def test_no_more_matches_are_returned_than_a_list_can_show(state: State) -> None:
    assert len(found(state, "the")) == search.MOST


def test_a_member_of_one_team_finds_nothing_of_another(team: Team) -> None:
    member = redaction.seen(team.now(), Person("TM-5", frozenset({MEMBER}), systems=frozenset({"S50"})))
    assert found(member, "SIF-501")[0] == ("function", "SIF-501")
    assert found(member, "lt-501")[0] == ("group", "lt-501")
    for text in ("pt-301", "PT-301B", "S30", "SIF-301", "sis", "field"):
        others = [match for match in search.find(member, text, here={}) if match.kind != "question"]
        assert others == [], text
    (asked,) = [match for match in search.find(member, "SEP1", here={"group": "pt-301"}) if match.key == "SEP1"]
    assert asked.place["group"] == "lt-501", "an address of another team opens nothing of it"


def test_a_viewer_finds_the_functions_whose_results_they_see_and_nothing_else(team: Team) -> None:
    viewer = redaction.seen(team.now(), Person("VW-1", frozenset({VIEWER})))
    assert found(viewer, "SIF-301") == [("function", "SIF-301")]
    assert {kind for text in ("pt", "S", "e", "Z01") for kind, _ in found(viewer, text)} <= {"function"}
