"""Results that are computed later: once for all who ask, and a failure is not kept."""

from __future__ import annotations

from threading import Event

import pytest

from checks.analysis.computed_later import Later

LONGEST = 10.0


def test_a_result_is_computed_once_for_all_who_ask() -> None:
    later, begun = Later(4), []

    def compute() -> int:
        begun.append(1)
        return 7

    assert [later.ask("key", compute).result(LONGEST) for _ in range(3)] == [7, 7, 7]
    assert begun == [1]


def test_after_a_failure_it_is_logged_and_computed_again(caplog: pytest.LogCaptureFixture) -> None:
    later, lost = Later(4), [True]

    def compute() -> int:
        if lost:
            raise ConnectionError("the store is away")
        return 7

    with pytest.raises(ConnectionError):
        later.ask("key", compute).result(LONGEST)
    lost.clear()
    assert later.ask("key", compute).result(LONGEST) == 7
    assert "the store is away" in caplog.text


def test_the_oldest_result_goes_first_and_is_computed_again_when_asked_for() -> None:
    later, hold = Later(2), Event()
    first = later.ask("first", lambda: hold.wait(LONGEST))
    second = later.ask("second", lambda: True)
    later.ask("third", lambda: True)
    dropped = later.ask("fourth", lambda: True)
    assert second.cancelled()
    hold.set()
    assert first.result(LONGEST)
    assert dropped.result(LONGEST)
    assert later.ask("second", lambda: 2).result(LONGEST) == 2
