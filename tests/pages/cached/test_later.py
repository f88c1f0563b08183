"""What a screen is drawn without is computed once it is drawn, once for all who wait for it."""

from __future__ import annotations

from concurrent.futures import wait

import pytest

from pages.cached import later


@pytest.fixture(autouse=True)
def of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Results of no other test."""
    monkeypatch.setattr(later, "_later", later.Later(3))


def test_nothing_is_computed_while_the_screen_is_drawn_and_each_result_once_after_it() -> None:
    computed: list[str] = []
    first, second = later.begin(), None
    assert not later.awaited("a", lambda: computed.append("a")).done()
    assert not later.awaited("b", lambda: computed.append("b")).done()
    assert (computed, first.there) == ([], False)
    second = later.begin()
    later.awaited("a", lambda: computed.append("a again"))
    for run in (first, second):
        run.start()
        wait(run.results, timeout=10)
    assert computed == ["a", "b"]
    assert first.there
    assert second.there


def test_a_run_waits_for_nothing_that_is_there() -> None:
    later.ask("a", lambda: 7).result(timeout=10)
    run = later.begin()
    assert later.awaited("a", lambda: 8).result(timeout=1) == 7
    run.start()
    assert run.results == []


def test_what_is_still_shown_is_kept_when_others_are_dropped() -> None:
    for key in ("a", "b", "c"):
        later.ask(key, lambda key=key: key).result(timeout=10)  # type: ignore[misc]  (the default is for the loop alone)
    later.begin()
    later.awaited("a", lambda: "again")
    later.ask("d", lambda: "d").result(timeout=10)
    assert later.awaited("a", lambda: "again").result(timeout=1) == "a"
    assert not later.awaited("b", lambda: "again").done()
