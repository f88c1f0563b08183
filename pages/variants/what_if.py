"""What if screen: up to four variants of a safety function side by side with what is built; nothing is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import streamlit as st

from checks.analysis.beside_result import Beside
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import NONE, factor, measure, measure_name, percent, significant, target
from checks.variants.variant import Outcome, Variant
from pages.cached import variant_results
from pages.charts import plotly_figures
from pages.charts.rail_html import legend
from pages.charts.rails import rails
from pages.presentation import second_words, uncertainty_words
from pages.presentation.wording import counted, escaped, titled
from pages.ui import frame, places, tables
from pages.variants import kept_variants, taking_over, variant_form

BUILT = "as built"


def _draw(live: Live, current: State) -> None:
    names = {key: titled(key, function.name) for key, function in current.plant.functions.items()}
    if not names:
        frame.nothing_to_choose(current, "safety function")
        return
    worst_first = [function.id for function in current.assessment.functions()]
    key = places.choose_place(current, "Function", "function", names, prefer=worst_first, clear=("variant",))
    variants = kept_variants.of_function(live, current, key)
    outcomes = [variant_results.outcome(live, current, key, variant) for variant in variants]
    as_built = variant_results.outcome(live, current, key, Variant(BUILT))
    built = as_built.built
    st.markdown(f"## What if {escaped(key)} were built otherwise?")
    st.markdown(_sentences(built, outcomes))
    frame.method_note(current)
    st.html(legend(frame.palette()))
    _rails(built, outcomes)
    _table(live, current, [as_built, *outcomes])
    chosen = variant_form.draw(live, current, key, variants)
    if chosen is not None:
        taking_over.draw(live, current, outcomes[chosen])


def _sentences(built: FunctionResult, outcomes: Sequence[Outcome]) -> str:
    """What each variant buys, in one sentence."""
    if not outcomes:
        return (
            "A variant changes voting, channels, tests, beta or zone of the groups of this function. Up to four stand side by side with "
            "what is built; nothing is stored until one is taken over. Begin with a variant below."
        )
    return "  \n".join(escaped(in_words(built, each)) for each in outcomes)


def in_words(built: FunctionResult, each: Outcome) -> str:
    """What one variant buys: the result before and after, the verdict, and why it buys nothing."""
    name = f"Variant {each.variant.name}"
    if each.function is None or each.gain is None:
        return f"{name} cannot be calculated: see its faults below."
    if not each.variant.cells:
        return f"{name} is as built so far."
    old, new = (measure(built.demand, result.cases.scored) for result in (built, each.function))
    figures = f"{measure_name(built.demand)} {old} → {new}"
    verdict = verdicts.in_words(each.function, "scored")
    if each.buys != "something":
        stays = f"{measure_name(built.demand)} stays {old}" if each.buys == "nothing" else figures
        text = f"{name} buys {each.buys}: {stays}; it {verdict}."
        if each.weak_link_untouched:
            weakest = each.function.weakest
            share = percent(each.function.share_of("scored")[weakest.id])
            text += f" {weakest.id} ({weakest.arrangement}) contributes {share} and stays as it is."
        return text
    better = f"a factor {factor(each.gain)} better" if each.gain > 1.0 else f"a factor {factor(1.0 / each.gain)} worse"
    return f"{name} is {better}: {figures}; it {verdict}."


def _rails(built: FunctionResult, outcomes: Sequence[Outcome]) -> None:
    shown = [replace(built, id=BUILT)]
    shown += [replace(each.function, id=f"variant {each.variant.name}") for each in outcomes if each.function]
    names = {result.id: "" for result in shown}
    names |= {
        f"variant {each.variant.name}": ", ".join(sorted(each.variant.cells)) for each in outcomes if each.function
    }
    chart = rails(shown, names)
    figure = plotly_figures.bar_chart(chart, frame.palette())
    st.plotly_chart(figure, key="variant_rails", theme=None, config=plotly_figures.CONFIG, alt=chart.alt_text)


def _table(live: Live, current: State, outcomes: Sequence[Outcome]) -> None:
    built = outcomes[0].built
    besides = [
        {} if each.function is None else variant_results.beside(live, current, built.id, each.variant)
        for each in outcomes
    ]
    rows = [_row(current, each, beside) for each, beside in zip(outcomes, besides, strict=True)]
    tables.table(rows, key="variants_table", alt="Variants side by side")
    computed = outcomes[0].uncertainty
    st.caption(
        escaped(
            f"Target {target(built.demand, built.target, built.target_sil)}. Spurious trips a year by two conventions in print. Effort: as "
            f"entered below. {uncertainty_words.computed(computed) if computed else ''} {second_words.named(besides)}"
        )
    )


def _row(current: State, each: Outcome, beside: dict[str, Beside] | None) -> dict[str, str]:
    built, result, variant = each.built, each.function, each.variant
    measured = measure_name(built.demand)
    row = {
        "Variant": variant.name,
        "What changes": _changes(current, variant),
        f"{measured} with common cause": NONE,
        "5 % to 95 %": NONE,
        second_words.HEAD: NONE,
        "Changed by": NONE,
        "Verdict": "faults",
        f"{measured} with cyber scenario": NONE,
        "Share kept": NONE,
        "Weak link": NONE,
        "Spurious trips a year": NONE,
        "Effort": NONE if variant.name == BUILT else f"{variant.effort:g}",
    }
    if result is None:
        return row
    weakest = result.weakest
    return row | {
        f"{measured} with common cause": measure(result.demand, result.cases.scored),
        "5 % to 95 %": uncertainty_words.band_figures(result, each.uncertainty),
        second_words.HEAD: second_words.cell(result, beside),
        "Changed by": f"× {factor(each.gain)}" if each.gain is not None and variant.cells else NONE,
        "Verdict": verdicts.in_short(result, "scored"),
        f"{measured} with cyber scenario": measure(result.demand, result.cases.adjusted),
        "Share kept": percent(verdicts.share_kept(result.cases)),
        "Weak link": f"{weakest.id}, {percent(result.share_of('scored')[weakest.id])}",
        "Spurious trips a year": _trips(each),
    }


def _trips(each: Outcome) -> str:
    """Trips a year by each convention; a rate that nobody entered makes a dash."""
    if each.trips is None:
        return NONE
    return " or ".join(NONE if total.per_year is None else significant(total.per_year) for total in each.trips.totals)


def _changes(current: State, variant: Variant) -> str:
    changes = variant.changes(current.plant)
    if len(changes) > 6:
        return f"{counted(len(changes), 'cell')} in {', '.join(sorted(variant.cells))}"
    return (
        "; ".join(f"{group} {head.lower()} {old or NONE} → {new or NONE}" for group, head, old, new in changes) or NONE
    )


page = frame.screen(_draw, place="function")
