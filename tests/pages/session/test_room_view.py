"""The view for a meeting room, the ladder beside an answer, and the time on the wall."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from checks.journal.store import Store
from checks.state.live import Live
from tests.pages.at_the_screen import unfold
from tests.pages.shown import Screen, answers, fine, onward, said, where


def drawn(at: AppTest) -> str:
    """All HTML of a screen."""
    return "\n".join(element.proto.body for element in at.get("html"))


@pytest.mark.usefixtures("store")
@pytest.mark.parametrize("address", [("common-cause", "group", "esv-501"), ("cyber", "zone", "Z5")])
def test_the_view_is_kept_in_the_address_and_on_its_links(screen: Screen, address: tuple[str, str, str]) -> None:
    url_path, name, key = address
    at = fine(screen(url_path, **{name: key}))
    assert "font-size: 20px" not in drawn(at)
    fine(at.button(key="view").click().run())
    assert where(at, "view") == "room"
    assert "font-size: 20px" in drawn(at)
    onwards = onward(unfold(at, "whole"))
    assert len(onwards) > 3
    assert all("view=room" in query for query in onwards.values())
    assert "font-size: 20px" in drawn(fine(screen(url_path, **{name: key, "view": "room"})))
    fine(at.button(key="view").click().run())
    assert where(at, "view") is None
    assert "font-size: 20px" not in drawn(at)


def test_in_the_room_the_effect_is_a_ladder_a_rail_and_one_sentence(store: Store, screen: Screen) -> None:
    at = fine(screen("common-cause", group="esv-501", q="TST1", view="room"))
    fine(answers(at, "TST1", "group:esv-501").set_value("met").run())
    score = Live(store, 1).state().assessment.group("esv-501").score
    assert score is not None
    assert f"Score {score.s:g}, was {score.s - 20:g}: 1oo2 beta 5 % (from 45)" in drawn(at)
    assert 'class="rails"' in drawn(at)
    assert "RRF of SIF-501 with common cause: 260 → **380**" in said(at)
    assert "before this answer" not in said(at)


@pytest.mark.usefixtures("store")
def test_an_answer_that_moves_no_result_is_seen_to_climb(screen: Screen) -> None:
    at = fine(screen("common-cause", group="esv-501", q="SEP5"))
    fine(answers(at, "SEP5", "group:esv-501").set_value("met").run())
    assert "Score 30, was 27: 1oo2 beta 10 % (from 0); 15 points to 5 % (from 45)" in drawn(at)
    assert "**Beta 10 %**\n" in said(at)
