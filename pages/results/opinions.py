"""Opinions on one axis: the beta of each group by every method, and the cyber scenario by every exposure rule."""

from __future__ import annotations

import streamlit as st

from checks.analysis import beta_opinions, exposure_opinions
from checks.analysis.beta_opinions import AskedOpinion, Carried, GroupOpinions
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import measure, measure_name, small
from pages.charts import opinion_charts, plotly_figures
from pages.plant_data import group_method
from pages.presentation.wording import escaped, titled
from pages.ui import frame, tables
from scoring.exposure import SCENARIO


def betas(live: Live, current: State, group: str) -> None:
    """Draw the opinions on the beta of a redundant group."""
    found = beta_opinions.of_group(current.assessment, group)
    if found is None:
        return
    st.markdown(f"### Opinions on the beta of {escaped(titled(group, current.plant.groups[group].name))}")
    chart = opinion_charts.betas(found)
    st.plotly_chart(
        plotly_figures.bar_chart(chart, frame.palette(), named=bool(found.published)),
        key="beta_opinions",
        theme=None,
        config=plotly_figures.CONFIG,
        alt=f"Beta of {group} by each method: {chart.alt_text}",
    )
    st.caption(
        escaped(
            f"Line below a mark: {opinion_charts.WHISKER}. {opinion_charts.BACKDROP} Every beta is that of a pair (1oo2), before the MooN factor. The other methods "
            "are further opinions and change no result; a question without an answer has no default."
        )
    )
    lines = [dict(zip(opinion_charts.HEAD, line, strict=True)) for line in opinion_charts.lines(found)]
    tables.table(lines, key="beta_opinions_table", alt=f"Opinions on the beta of {group}")
    _ways_to_answer(current, found)
    group_method.draw(live, current, group)
    folded = st.expander("Published values and ranges", key="published", on_change="rerun")
    if folded.open:
        with folded:
            heads = ("From", "Of", "Beta of a pair")
            values = [dict(zip(heads, line, strict=True)) for line in opinion_charts.published_lines(found)]
            tables.table(values, key="published_table", alt="Published betas and ranges")
            st.caption(escaped("; ".join(f"{each.about.label}: {each.about.source}" for each in found.published) + "."))


def _ways_to_answer(current: State, found: GroupOpinions) -> None:
    """Draw a link to the open questions of each method that asks, for those who may answer."""
    if not current.is_visible(f"group:{found.group}"):
        return
    methods: list[Carried | AskedOpinion] = [found.carried, *found.asked]
    for opinion in methods:
        if opinion.open:
            label = f"Answer {opinion.label} for {found.group}"
            frame.link("common-cause", label, group=found.group, method=opinion.bank, q=opinion.open[0])


def exposure_rules(current: State, function: FunctionResult) -> None:
    """Draw the result with common cause and with the cyber scenario by each exposure rule, with the target."""
    st.markdown("**The cyber scenario by exposure rule**")
    results = exposure_opinions.by_exposure_rule(current.assessment, function.id)
    chosen = current.assessment.editions.exposure.about.label
    chart = opinion_charts.exposure_rules(function, results, chosen)
    figure = plotly_figures.bar_chart(chart, frame.palette())
    alt = f"{measure_name(function.demand)} of {function.id} by exposure rule: {chart.alt_text}"
    st.plotly_chart(figure, key="exposure_rules", theme=None, config=plotly_figures.CONFIG, alt=alt)
    st.caption(escaped(f"Chosen for this plant: {chosen}. {SCENARIO[0].upper()}{SCENARIO[1:]}."))
    low = function.demand == "low"
    rows = [
        {
            "Rule": label,
            measure_name(function.demand): measure(function.demand, result),
            **({"PFDavg": small(result)} if low else {}),
        }
        for label, result in {"with common cause": function.cases.scored, **results}.items()
    ]
    tables.table(rows, key="exposure_rules_table", alt=f"{function.id} by exposure rule")
