"""What changed between two revisions, or since one: facts, results side by side, and which fact moved which number."""

from __future__ import annotations

from typing import Any

import pandas as pd
import streamlit as st

from checks.assessment import verdicts
from checks.comparison.comparison import Comparison, FunctionChange
from checks.comparison.differences import AnswerFact, DataFact
from checks.comparison.steps import Step
from checks.state.live import Live, State
from checks.text.number_format import factor, measure, measure_name, percent, target
from checks.visibility import fresh_start
from pages.charts import line_charts, steps_chart
from pages.charts.plotly_figures import CONFIG, trend_chart
from pages.presentation.wording import ANSWERS, over_time, plain, titled
from pages.ui import caches, frame, state

NOW = "now"
MOST_LISTED = 400


def _draw(live: Live, now: State) -> None:
    names = {key: titled(key, one.name) for key, one in now.systems.items()}
    if not names:
        frame.nothing(now, "safety system")
        return
    system = frame.choose("Safety system", "system", names, clear=("from", "to"))
    revisions = now.records.revisions.get(system, ())
    if not revisions:
        st.markdown(f"## {plain(system)} has no revision yet")
        st.markdown("Once it was put up for review, what changed since stands here.")
        frame.rule(now)
        frame.lead("sign-off", f"Sign-off of {system}", system=system)
        return
    labels = {str(one.number): f"Revision {one.number}, {one.cause.day}" for one in revisions}
    every = {**labels, NOW: f"Now, {now.day.isoformat()}"}
    afresh_of = fresh_start.to_give(now, system) if fresh_start.hides(now, state.person()) else []
    to = labels if afresh_of else every
    left, right = st.columns(2)
    with left:
        old = frame.choose("From", "from", labels, default=next(reversed(labels)))
    with right:
        new = frame.choose("To", "to", to, default=next(reversed(to)))
    if afresh_of:
        st.caption(
            f"A fresh start is under way: {len(afresh_of)} answers are to be given anew, and what they were before is not "
            "compared with now until then."
        )
    found = caches.compared(live, now, system, old, new)
    _head(found, every[old], every[new])
    frame.rule(now)
    _functions(found)
    _trend(live, now, system, every)
    _facts(found)
    _zones(found)


def _head(found: Comparison, old: str, new: str) -> None:
    if found.nothing:
        st.markdown("## Nothing changed")
        st.markdown(f"{plain(old)} and {plain(new)} rest on the same facts.")
        return
    moved = [one for one in found.functions if one.steps]
    st.markdown(f"## {len(moved)} of {len(found.functions)} functions moved")
    st.markdown(
        f"{len(found.answers)} answers and {len(found.data)} plant data differ between {plain(old)} and {plain(new)}."
    )
    for one in found.editions:
        st.markdown(f"Edition of {plain(one.place.rpartition('.')[2])}: {plain(str(one.old))} → {plain(str(one.new))}.")
    if not found.explained:
        st.info(
            "Which fact moved which figure is not told: this program computes other figures from the facts of a revision "
            "than the stored ones. The stored ones are shown."
        )


def _functions(found: Comparison) -> None:
    rows = []
    for one in found.functions:
        both = [held for held in (one.old, one.new) if held is not None]
        demand = both[0].demand
        gain = "" if one.gain is None else f"× {factor(one.gain)}"
        rows.append(
            {
                "Function": one.id,
                "": measure_name(demand),
                "Before": measure(one.old.demand, one.old.cases.scored) if one.old else "not there",
                "After": measure(one.new.demand, one.new.cases.scored) if one.new else "not there",
                "Verdict": _met(one, "scored"),
                "Cyber scenario before": measure(one.old.demand, one.old.cases.adjusted) if one.old else "not there",
                "Cyber scenario after": measure(one.new.demand, one.new.cases.adjusted) if one.new else "not there",
                "Verdict, cyber scenario": _met(one, "adjusted"),
                "Changed by": gain,
                "Moved most by": _most(one),
            }
        )
    st.dataframe(pd.DataFrame(rows), hide_index=True, key="moved", alt="Functions before and after")
    moved = {one.id: one.id for one in found.functions if one.steps}
    if not moved:
        return
    key = frame.choose("Function whose steps to see", "function", moved)
    change = next(one for one in found.functions if one.id == key)
    demand = change.new.demand if change.new else "low"
    st.plotly_chart(
        steps_chart.steps(change, frame.palette(), told),
        key="steps_of",
        theme=None,
        config=CONFIG,
        alt=f"Steps from the {measure_name(demand)} before to that after, the table below lists them",
    )
    st.dataframe(
        pd.DataFrame([_step(at, one, demand) for at, one in enumerate(change.steps, start=1)]),
        hide_index=True,
        key="steps_list",
        alt=f"Steps of {key}",
    )
    st.caption(
        "With the cyber scenario. Closed one by one in a fixed order (plant data, then answers in the order of the questions; "
        "house rule), the steps multiply to the whole change. Alone: what the fact would have done to the earlier state by itself."
    )


def _met(one: FunctionChange, case: str) -> str:
    said = ["not there" if held is None else verdicts.in_short(held, case) for held in (one.old, one.new)]
    return said[0] if said[0] == said[1] else f"{said[0]} → {said[1]}"


def _most(one: FunctionChange) -> str:
    if not one.steps:
        return "" if one.gain is None or one.gain == 1.0 else "–"
    largest = max(one.steps, key=lambda held: max(held.gain, 1.0 / held.gain))
    return f"{told(largest)} (× {factor(largest.gain)})"


def told(step: Step) -> str:
    """The facts of a step in one line."""
    return "; ".join(_fact(one) for one in step.facts)


def _fact(one: AnswerFact | DataFact) -> str:
    if isinstance(one, AnswerFact):
        old = ANSWERS[one.old.value] if one.old else "not answered"
        new = ANSWERS[one.new.value] if one.new else "not answered"
        return f"{one.question} of {one.of}: {old} → {new}"
    if one.whole:
        return f"{one.place} {'came' if one.old is None else 'went'}"
    return f"{one.place}: {one.old} → {one.new}"


def _step(at: int, one: Step, demand: str) -> dict[str, str]:
    return {
        "Step": str(at),
        "Fact": told(one),
        "Before": measure(demand, one.before),
        "After": measure(demand, one.after),
        "Factor": f"× {factor(one.gain)}",
        "Alone": "–" if one.gain_alone is None else f"× {factor(one.gain_alone)}",
    }


def _trend(live: Live, now: State, system: str, every: dict[str, str]) -> None:
    st.markdown("### Over the revisions")
    points = caches.trend(live, now, system)
    rows: dict[str, dict[str, Any]] = {}
    for point in points:
        named = f"{point.id} {point.measure}"
        rows.setdefault(named, {"What": named})[every[point.label]] = over_time(point)
    functions = [now.assessment.function(name) for name in now.systems[system].functions]
    targets = {one.id: target(one.demand, one.target) for one in functions}
    for at, drawn in enumerate(line_charts.trend(points, every, targets)):
        st.plotly_chart(
            trend_chart(drawn, frame.palette()),
            key=f"trend_{at}",
            theme=None,
            config=CONFIG,
            alt=f"{drawn.up.words}, over the revisions: {drawn.said}; the table below lists all figures",
        )
    st.dataframe(pd.DataFrame(list(rows.values())), hide_index=True, key="trend_list", alt="Figures over the revisions")


def _facts(found: Comparison) -> None:
    if found.answers:
        st.markdown("### Answers that differ")
        rows = [
            {
                "Question": one.question,
                "Of": one.of,
                "Before": ANSWERS[one.old.value] if one.old else "not answered",
                "After": ANSWERS[one.new.value] if one.new else "not answered",
                "Evidence before": one.old_evidence,
                "Evidence after": one.new_evidence,
            }
            for one in found.answers[:MOST_LISTED]
        ]
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="answers_differ", alt="Answers that differ")
    if found.data:
        st.markdown("### Plant data that differ")
        rows = [
            {"Place": one.place, "Before": _short(one.old), "After": _short(one.new)}
            for one in found.data[:MOST_LISTED]
        ]
        st.dataframe(pd.DataFrame(rows), hide_index=True, key="data_differ", alt="Plant data that differ")


def _short(value: Any) -> str:
    return "not there" if value is None else str(value)[:200]


def _zones(found: Comparison) -> None:
    groups = [
        {
            "Group": one.id,
            "Beta before": _beta(one.old),
            "Beta after": _beta(one.new),
            "Cyber scenario before": _adjusted(one.old),
            "Cyber scenario after": _adjusted(one.new),
        }
        for one in found.groups
    ]
    st.markdown("### Betas and gaps")
    st.dataframe(pd.DataFrame(groups), hide_index=True, key="betas", alt="Betas before and after")
    if not state.person().may("see gap detail"):
        return
    zones = [
        {
            "Zone": one.id,
            "Gaps before": str(len(one.old.gaps)) if one.old and one.old.reviewed else "not reviewed",
            "Gaps after": str(len(one.new.gaps)) if one.new and one.new.reviewed else "not reviewed",
            "Closed": ", ".join(gap.question for gap in one.closed),
            "Opened": ", ".join(gap.question for gap in one.opened),
        }
        for one in found.zones
    ]
    st.dataframe(pd.DataFrame(zones), hide_index=True, key="gaps_moved", alt="Gaps opened and closed")


def _beta(one: Any) -> str:
    return percent(one.betas.beta) if one and one.betas else "–"


def _adjusted(one: Any) -> str:
    return percent(one.betas.beta_adjusted) if one and one.betas else "–"


page = frame.screen(_draw, needs="see evidence")
