"""Functions with what stands beside their results, band and second method, computed later."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, wait
from functools import partial
from typing import Any

from checks.access.roles import Person
from checks.analysis import beside_result
from checks.analysis.beside_result import Beside, Figures
from checks.analysis.uncertainty import Uncertainty
from checks.assessment.assessment import Assessment
from checks.improvement.advice import Advice
from checks.state.live import Live, State
from pages.cached import database, later, second_methods, uncertainties

MOST_BESIDE = 40
"""Functions of one screen beside whose results band and second method stand."""
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


def of_set(follower: Live, current: State, person: Person, advised: Advice) -> tuple[Figures, Figures]:
    """The functions now, as the advice counts them, and those of the set after it: each once it is computed."""
    moment = f"{database.moment(follower, current)} {database.rights(person)}"
    now = _each(f"now {moment}", lambda: advised.whole.model.assessment, advised.whole.model.functions)
    return now, _each(f"after {moment} {advised.best.actions}", lambda: advised.improved, advised.of_set)


def _each(key: str, assessed: Callable[[], Assessment], functions: Sequence[str]) -> Figures:
    """A job for each function, so that what another screen awaits is not behind them all."""
    asked = [later.awaited(f"{key} {name}", partial(_one, assessed, name)) for name in functions]
    done = [each.result() for each in asked if each.done()]
    return Figures(
        {name: result for each in done for name, result in each.functions.items()},
        {name: band for each in done for name, band in each.bands.items()},
        {name: beside for each in done for name, beside in each.besides.items()},
    )


def _one(assessed: Callable[[], Assessment], name: str) -> Figures:
    return beside_result.figures(assessed(), [name])
