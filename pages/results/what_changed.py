"""What changed screen: inputs and results of two revisions side by side, and the effect of each change."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from checks.analysis.beside_result import Beside
from checks.analysis.uncertainty import Uncertainty
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.comparison import Comparison, FunctionChange
from checks.comparison.differences import most_telling_first
from checks.comparison.steps import Step
from checks.state.live import Live, State
from checks.text.number_format import NONE, factor, measure, measure_name, percent, target
from checks.visibility import blind_round
from pages.cached import comparisons, revision_results
from pages.charts import line_charts, steps_chart
from pages.charts.plotly_figures import CONFIG, trend_chart
from pages.presentation import second_words
from pages.presentation.lesson_words import step_text
from pages.presentation.uncertainty_words import band_figures, computed
from pages.presentation.wording import ANSWERS, answers_differ, counted, escaped, titled, trend_figure, value_text
from pages.ui import frame, places, state, tables

NOW = "now"
MOST_LISTED = 400
Bands = Mapping[str, Uncertainty]
"""Uncertainty of functions by id."""
Besides = Mapping[str, Beside]
"""What the second method says of functions, by id."""


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, system.name) for key, system in current.systems.items()}
    if not names:
        frame.nothing_to_choose(current, "safety system")
        return
    system = places.choose("Safety system", "system", names, clear=("from", "to", "function"))
    revisions = current.records.revisions.get(system, ())
    if not revisions:
        st.markdown(f"## {escaped(system)} has no revision yet")
        st.markdown("Changes are shown here after the first revision is submitted for review.")
        frame.method_note(current)
        frame.link("sign-off", f"Sign-off of {system}", system=system)
        return
    labels = {str(revision.number): f"Revision {revision.number}, {revision.cause.day}" for revision in revisions}
    choices = {**labels, NOW: f"Now, {current.day.isoformat()}"}
    hidden = blind_round.questions_to_answer(current, system) if blind_round.hides(current, state.person()) else []
    to = labels if hidden else choices
    if hidden:
        questions = counted(len(hidden), "question")
        st.caption(f"Blind round: {questions} to answer again; earlier answers are not compared with now.")
    left, right = st.columns(2)
    with left:
        old = places.choose("From", "from", labels, default=next(reversed(labels)), clear=("function",))
    with right:
        new = places.choose("To", "to", to, default=next(reversed(to)), clear=("function",))
    comparison = comparisons.compared(live, current, state.person(), system, old, new)
    _head(comparison, choices[old], choices[new])
    frame.method_note(current)
    bands = tuple(revision_results.uncertain_then(live, current, system, label) for label in (old, new))
    then = [revision_results.beside_then(live, current, system, label) for label in (old, new)]
    _functions(comparison, bands, [None if found is None else found.besides for found in then])
    _trend(live, current, system, choices)
    _facts(comparison)
    _betas_and_gaps(comparison)


def _head(comparison: Comparison, old: str, new: str) -> None:
    if comparison.nothing:
        st.markdown("## Nothing changed")
        st.markdown(f"{escaped(old)} and {escaped(new)} have the same inputs.")
        return
    changed = [change for change in comparison.functions if change.steps]
    st.markdown(f"## {len(changed)} of {len(comparison.functions)} functions changed")
    st.markdown(
        f"{answers_differ(comparison.answers)}; {counted(len(comparison.data), 'plant data field')} "
        f"{'differs' if len(comparison.data) == 1 else 'differ'}. Compared: {escaped(old)} and {escaped(new)}."
    )
    for edition in comparison.editions:
        st.markdown(
            f"Edition of {escaped(edition.place.rpartition('.')[2])}: {escaped(str(edition.old))} → {escaped(str(edition.new))}."
        )
    if not comparison.explained:
        st.info(
            "The effect of each change is not shown: this program computes other figures than the stored ones. The stored "
            "figures are shown."
        )


def _functions(comparison: Comparison, bands: tuple[Bands, ...], besides: Sequence[Besides | None]) -> None:
    """Functions before and after, with band and second method where this program computes the figures of a revision too."""
    rows = []
    for change in comparison.functions:
        demand = next(result.demand for result in (change.old, change.new) if result is not None)
        rows.append(
            {
                "Function": change.id,
                "Measure": measure_name(demand),
                "Before": _result(change.old, "scored"),
                "5 % to 95 % before": _band(change.old, bands[0]),
                f"{second_words.HEAD} before": second_words.cell(change.old, besides[0]),
                "After": _result(change.new, "scored"),
                "5 % to 95 % after": _band(change.new, bands[1]),
                f"{second_words.HEAD} after": second_words.cell(change.new, besides[1]),
                "Verdict": _verdict_change(change, "scored"),
                "Cyber scenario before": _result(change.old, "adjusted"),
                "Cyber scenario after": _result(change.new, "adjusted"),
                "Verdict, cyber scenario": _verdict_change(change, "adjusted"),
                "Changed by": "" if change.gain is None else f"× {factor(change.gain)}",
                "Largest change by": _largest_change(change),
            }
        )
    tables.table(rows, key="moved", alt="Functions before and after")
    sampled = [band for of_revision in bands for band in of_revision.values()]
    method = f"{computed(sampled[0])} " if sampled else ""
    st.caption(
        escaped(
            "5 % to 95 % of the uncertainty with common cause, and the second method: calculated by this program, not part of what "
            f"was signed. {method}{second_words.named(besides)}"
        )
    )
    changed = {change.id: change.id for change in comparison.functions if change.steps}
    if not changed:
        return
    key = places.choose("Show the steps of", "function", changed)
    change = next(change for change in comparison.functions if change.id == key)
    demand = change.new.demand if change.new else "low"
    st.plotly_chart(
        steps_chart.steps(change, frame.palette(), step_text),
        key="steps_of",
        theme=None,
        config=CONFIG,
        alt=f"Steps of the {measure_name(demand)} from before to after, listed in the table below",
    )
    tables.table(
        [_step_row(number, step, demand) for number, step in enumerate(change.steps, start=1)],
        key="steps_list",
        alt=f"Steps of {key}",
    )
    st.caption(
        "With the cyber scenario. Applied one by one in a fixed order (plant data, then answers in the order of the questions; "
        "house rule), the steps multiply to the total change. Alone: effect of this change by itself on the earlier state."
    )


def _result(function: FunctionResult | None, case: verdicts.Case) -> str:
    return measure(function.demand, getattr(function.cases, case)) if function else "not present"


def _band(function: FunctionResult | None, bands: Bands) -> str:
    return NONE if function is None else band_figures(function, bands.get(function.id))


def _verdict_change(change: FunctionChange, case: str) -> str:
    results = (change.old, change.new)
    old, new = ("not present" if result is None else verdicts.in_short(result, case) for result in results)
    return old if old == new else f"{old} → {new}"


def _largest_change(change: FunctionChange) -> str:
    if not change.steps:
        return "" if change.gain is None or change.gain == 1.0 else "–"
    largest = max(change.steps, key=lambda step: max(step.gain, 1.0 / step.gain))
    return f"{step_text(largest)} (× {factor(largest.gain)})"


def _step_row(number: int, step: Step, demand: str) -> dict[str, str]:
    return {
        "Step": str(number),
        "Change": step_text(step),
        "Before": measure(demand, step.before),
        "After": measure(demand, step.after),
        "Factor": f"× {factor(step.gain)}",
        "Alone": "–" if step.gain_alone is None else f"× {factor(step.gain_alone)}",
    }


def _trend(live: Live, current: State, system: str, labels: dict[str, str]) -> None:
    st.markdown("### Over the revisions")
    points = comparisons.trend(live, current, system)
    rows: dict[str, dict[str, Any]] = {}
    for point in points:
        named = f"{point.id} {point.measure}"
        rows.setdefault(named, {"What": named})[labels[point.label]] = trend_figure(point)
    functions = [current.assessment.function(name) for name in current.systems[system].functions]
    targets = {function.id: target(function.demand, function.target, function.target_sil) for function in functions}
    for index, chart in enumerate(line_charts.trend(points, labels, targets)):
        st.plotly_chart(
            trend_chart(chart, frame.palette()),
            key=f"trend_{index}",
            theme=None,
            config=CONFIG,
            alt=f"{chart.y_scale.label}, over the revisions: {chart.alt_text}; the table below lists all figures",
        )
    tables.table(list(rows.values()), key="trend_list", alt="Figures over the revisions")


def _facts(comparison: Comparison) -> None:
    if comparison.answers:
        st.markdown("### Answers that differ")
        rows = [
            {
                "Question": fact.question,
                "Of": fact.of,
                "Before": ANSWERS[fact.old.value] if fact.old else "not answered",
                "After": ANSWERS[fact.new.value] if fact.new else "not answered",
                "Differs in": "value" if fact.moves else fact.differs or "author or day",
                "Evidence before": fact.old_evidence,
                "Evidence after": fact.new_evidence,
            }
            for fact in most_telling_first(comparison.answers)[:MOST_LISTED]
        ]
        tables.table(rows, key="answers_differ", alt="Answers that differ")
    if comparison.data:
        st.markdown("### Plant data that differ")
        rows = [
            {"Place": fact.place, "Before": value_text(fact.old)[:200], "After": value_text(fact.new)[:200]}
            for fact in comparison.data[:MOST_LISTED]
        ]
        tables.table(rows, key="data_differ", alt="Plant data that differ")


def _betas_and_gaps(comparison: Comparison) -> None:
    groups = [
        {
            "Group": change.id,
            "Beta before": _beta(change.old, "beta"),
            "Beta after": _beta(change.new, "beta"),
            "Cyber scenario before": _beta(change.old, "beta_adjusted"),
            "Cyber scenario after": _beta(change.new, "beta_adjusted"),
        }
        for change in comparison.groups
    ]
    st.markdown("### Betas and gaps")
    tables.table(groups, key="betas", alt="Betas before and after")
    if not state.person().may("see gap detail"):
        return
    zones = [
        {
            "Zone": change.id,
            "Gaps before": str(len(change.old.gaps)) if change.old and change.old.reviewed else "not reviewed",
            "Gaps after": str(len(change.new.gaps)) if change.new and change.new.reviewed else "not reviewed",
            "Closed": ", ".join(gap.question for gap in change.closed),
            "Opened": ", ".join(gap.question for gap in change.opened),
        }
        for change in comparison.zones
    ]
    tables.table(zones, key="gaps_moved", alt="Gaps opened and closed")


def _beta(result: Any, name: str) -> str:
    return percent(getattr(result.betas, name)) if result and result.betas else "–"


page = frame.screen(_draw, needs="see evidence", place="system")
