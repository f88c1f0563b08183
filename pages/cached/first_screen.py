"""What is computed before the first browser connects."""

from __future__ import annotations

from pages.cached import comparisons, database, later, present_state, second_methods, uncertainties

FIRST = 30
"""Functions whose uncertainty is computed before the first browser connects, the worst first."""


def warm() -> None:
    """Compute the results of the first screen before the first browser connects, and then the bands of its functions."""
    later.STARTING.set()
    try:
        present = [
            (follower, follower.state())
            for plant in database.listed()
            if not plant.archived
            for follower in [database.live(plant.key)]
        ]
        for follower, current in present:
            present_state.remarks_on(follower, current)
        for follower, current in present:
            for function in current.assessment.functions()[:FIRST]:
                uncertainties.uncertain(follower, current, function.id)
                later.ask(*uncertainties.asked(follower, current, function.id))
                later.ask(*second_methods.asked(follower, current, function.id))
            later.ask(*comparisons.lessons_asked(follower, current))
    finally:
        later.STARTING.clear()
