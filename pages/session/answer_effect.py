"""Effect of an answer: the rail of a function before and after, and a worse function that it cannot change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import streamlit as st

from checks.analysis import beta_opinions
from checks.analysis.beta_opinions import AskedOpinion, Carried
from checks.assessment.assessment import Assessment
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import measure, percent
from pages.cached import figures
from pages.charts import opinion_charts
from pages.charts.rail_html import bar_chart
from pages.charts.rails import rails
from pages.presentation import second_words
from pages.presentation.wording import escaped, paragraphs, small_print
from pages.ui import frame

HEAD = "**Effect of this answer**"


def moving_rail(current: State, worst: FunctionResult, earlier: Assessment, *, above: str = "") -> None:
    """Draw the rail of a function, with its state before the answer dotted, below other HTML."""
    before = {worst.id: earlier.function(worst.id)}
    chart = rails([worst], {worst.id: current.plant.functions[worst.id].name}, before=before)
    st.html(above + bar_chart(chart, frame.palette()))


def of_opinion(current: State, group: str, bank: str, earlier: Assessment) -> None:
    """Draw the opinion of a further method before and after an answer, beside the beta that carries the result."""
    found, before = (_opinion(assessment, group, bank) for assessment in (current.assessment, earlier))
    if found is None:
        return
    carried, opinion = found
    old, new = (opinion_charts.standing(each[1]) if each else "" for each in (before, found))
    change = f", was {escaped(old)}" if old != new else ""
    lines = [HEAD, f"**{escaped(opinion.about.label)}: {escaped(new)}**{change}"]
    lines += map(escaped, opinion.worked)
    rests = f"The result rests on {carried.label} with {percent(carried.beta)} and does not change."
    scope = f"A further opinion on the beta of a pair (1oo2), valid for {opinion.about.valid}."
    st.markdown(paragraphs(*lines, *map(small_print, map(escaped, (rests, scope)))))
    st.html(bar_chart(opinion_charts.one_beta(carried, opinion), frame.palette()))
    st.caption(escaped(opinion_charts.BACKDROP))


def _opinion(assessment: Assessment, group: str, bank: str) -> tuple[Carried, AskedOpinion] | None:
    found = beta_opinions.of_group(assessment, group)
    if found is None:
        return None
    return found.carried, next(opinion for opinion in found.asked if opinion.bank == bank)


def moved(label: str, demand: str, before: float, after: float) -> str:
    """One result before and after an answer, in words for a meeting room."""
    old, new = measure(demand, before), measure(demand, after)
    return f"{label}: **{new}**, unchanged" if old == new else f"{label}: {old} → **{new}**"


def beside(live: Live, current: State, function: FunctionResult) -> None:
    """Draw the method of a result, its band and the second method in one line; its place is kept while they are computed."""
    found = figures.of_functions(live, current, [function.id])
    line = second_words.in_one_line(function, current.assessment.method_of(function.id), found)
    with st.container(key="beside_effect"):
        st.markdown(small_print(escaped(line)))


def worse_elsewhere(current: State, groups: Iterable[str], shown: FunctionResult) -> Iterator[str]:
    """Names a function that is worse than the one shown but that answers in this session do not change."""
    worst = current.assessment.worst_function(groups)
    if worst is not None and worst.id != shown.id:
        weakest, measured = worst.weakest, "PFD" if worst.demand == "low" else "PFH"
        yield (
            f"{escaped(shown.id)} is the worst function that answers in this session can change. {escaped(worst.id)} is "
            f"worse, but {escaped(weakest.id)} contributes {percent(worst.share_of('scored')[weakest.id])} of its {measured}."
        )
