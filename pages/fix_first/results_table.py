"""Functions now, after the set, and with everything met, with what stands beside these results: band and second method."""

from __future__ import annotations

import streamlit as st

from checks.analysis.beside_result import Figures
from checks.assessment.verdicts import Case
from checks.improvement.advice import Advice
from checks.improvement.plan import Plan
from checks.state.live import Live, State
from checks.text.number_format import NONE, measure, measure_name, percent, target
from pages.cached import figures
from pages.cached.figures import MOST_BESIDE
from pages.presentation import second_words, uncertainty_words
from pages.presentation.second_words import HEAD, WAITING
from pages.presentation.wording import escaped
from pages.ui import state, tables

BAND = "5 % to 95 % of the uncertainty with common cause; Missed: how likely the target is missed."
NO_BAND = "The cyber scenario has no band, since no distribution of its inputs is known; the result with common cause has one."
SECOND = "In brackets: PFDavg or PFH of the second method over that of the first."
Both = tuple[Figures, Figures] | None


def draw(live: Live, current: State, advice: Advice) -> None:
    """Draw the functions of the advice, the band and the second method once they are computed, and their methods."""
    shown = len(advice.whole.model.functions) <= MOST_BESIDE
    both = figures.of_set(live, current, state.person(), advice) if shown else None
    rows = [_row(current, advice, name, both) for name in advice.whole.model.functions]
    tables.table(rows, key="fix_results", alt="Functions now, after the set, and with all answers met")
    with st.container(key="beside_set"):
        st.caption(
            escaped(
                _said(advice, both)
                if both is not None
                else f"Band and second method: choose a system of up to {MOST_BESIDE} functions, or a function."
            )
        )


def _row(current: State, advice: Advice, name: str, both: Both) -> dict[str, str]:
    whole, best = advice.whole, advice.best
    function, case = current.plant.functions[name], whole.model.case
    everything = "All answers met, best changes" if whole.model.changes else "All answers met"
    after = best.after.get(name) if best.chosen else None
    reached = best.meets(name, best.after) if after is not None else None
    now, then = {}, {}
    if both is not None:
        now = _beside(name, case, "now", both[0], expected=True)
        then = _beside(name, case, "then", both[1], expected=name in advice.of_set)
    return {
        "Function": name,
        "Result": measure_name(function.demand),
        "Target": target(function.demand, function.target, function.target_sil),
        "Now": measure(function.demand, whole.before[name]),
        **now,
        "After the set": NONE if after is None else measure(function.demand, after),
        **(then if best.chosen else {}),
        everything: measure(function.demand, whole.together[name]),
        "Target met": _verdict(whole, name, reached=reached),
    }


def _beside(name: str, case: Case, when: str, figures: Figures, *, expected: bool) -> dict[str, str]:
    """Band, odds of missing the target, and second method, ``now`` or ``then``, after the set; the cyber scenario has no band."""
    heads = (f"5 % to 95 % {when}", f"Missed {when}", f"{HEAD} {when}")
    if (function := figures.functions.get(name)) is None:
        band, missed, second = [WAITING if expected else NONE] * 3
    else:
        uncertainty = figures.bands.get(name)
        band = uncertainty_words.band_figures(function, uncertainty)
        missed = percent(None if uncertainty is None else uncertainty.misses)
        second = second_words.cell(function, figures.besides, case, named=False)
    return {heads[2]: second} if case == "adjusted" else dict(zip(heads, (band, missed, second), strict=True))


def _said(advice: Advice, both: tuple[Figures, Figures]) -> str:
    """What stands beside the results and by which methods; after the set, how likely a target is missed that it meets."""
    scored = advice.whole.model.case == "scored"
    lead = f"{BAND if scored else NO_BAND} {SECOND}"
    now, then = both
    if len(now.functions) < len(advice.whole.model.functions) or len(then.functions) < len(advice.of_set):
        return f"{lead} {WAITING} being calculated"
    doubt = ""
    if scored:
        found, when = (then, "after the set") if advice.best.chosen else (now, "now")
        doubt = uncertainty_words.most_in_doubt(when, found.functions.values(), found.bands)
        lead += "".join(f" {uncertainty_words.computed(band)}" for band in list(now.bands.values())[:1])
    return " ".join(filter(None, (doubt, lead, second_words.named([now.besides]))))


def _verdict(plan: Plan, name: str, *, reached: bool | None) -> str:
    if plan.meets(name, plan.before):
        return "already"
    if reached:
        return "after the set"
    alone = "not by answers and changes" if plan.model.changes else "not by answers alone"
    return alone if name in plan.beyond else "not by this set"
