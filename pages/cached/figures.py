"""Functions with what stands beside their results, band and second method, computed later."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, wait
from typing import Any

from checks.access.roles import Person
from checks.analysis.beside_result import Beside, Figures
from checks.analysis.uncertainty import Uncertainty
from checks.improvement import advice
from checks.improvement.advice import Advice
from checks.state.live import Live, State
from pages.cached import database, later, second_methods, uncertainties

Asked = dict[str, tuple[Future[Uncertainty | None], Future[Beside]]]


def of_functions(follower: Live, current: State, functions: Sequence[str]) -> Figures:
    """Functions with band and second method, those for which both are computed. None while the program starts."""
    if later.warming():
        return Figures({}, {}, {})
    return _computed(current, _asked(later.awaited, follower, current, functions))


def waited_for(follower: Live, current: State, functions: Sequence[str]) -> Figures:
    """The same of all these functions, waiting for what is not computed yet: for a file."""
    asked = _asked(later.ask, follower, current, functions)
    futures: list[Future[Any]] = [each for both in asked.values() for each in both]
    wait(futures)
    return _computed(current, asked)


def _asked(ask: Callable[..., Future[Any]], follower: Live, current: State, functions: Sequence[str]) -> Asked:
    return {
        name: (
            ask(*uncertainties.asked(follower, current, name)),
            ask(*second_methods.asked(follower, current, name)),
        )
        for name in functions
    }


def _computed(current: State, asked: Asked) -> Figures:
    done = {name: both for name, both in asked.items() if all(each.done() for each in both)}
    bands = {name: band.result() for name, (band, _) in done.items()}
    return Figures(
        {name: current.assessment.function(name) for name in done},
        {name: band for name, band in bands.items() if band is not None},
        {name: beside.result() for name, (_, beside) in done.items()},
    )


def of_set(follower: Live, current: State, person: Person, advised: Advice) -> tuple[Figures, Figures] | None:
    """The functions now and after a set, with what stands beside their results; None while it is being computed."""
    asked_for = advised.whole.model
    key = f"set {database.moment(follower, current)} {database.rights(person)} {asked_for.functions} {asked_for.case} {advised.best.actions}"
    future = later.awaited(key, lambda: advice.figures(advised))
    return future.result() if future.done() else None
