"""What if screen: up to four variants of a safety function side by side with what is built; nothing is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import streamlit as st

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.state.live import Live, State
from checks.text.number_format import NONE, factor, measure, measure_name, percent, target
from checks.variants.variant import Outcome, Variant, outcome
from pages.charts import plotly_figures
from pages.charts.rail_html import legend
from pages.charts.rails import rails
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
    outcomes = [outcome(current.assessment, key, variant) for variant in variants]
    built = current.assessment.function(key)
    st.markdown(f"## What if {escaped(key)} were built otherwise?")
    st.markdown(_sentences(built, outcomes))
    frame.method_note(current)
    st.html(legend(frame.palette()))
    _rails(built, outcomes)
    _table(current, built, outcomes)
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


def _table(current: State, built: FunctionResult, outcomes: Sequence[Outcome]) -> None:
    st.caption(f"Target {target(built.demand, built.target, built.target_sil)}.")
    rows = [_row(current, BUILT, built, None)]
    rows += [_row(current, each.variant.name, each.function, each) for each in outcomes]
    tables.table(rows, key="variants_table", alt="Variants side by side")


def _row(current: State, name: str, result: FunctionResult | None, each: Outcome | None) -> dict[str, str]:
    measured = measure_name(current.plant.functions[result.id].demand) if result else "RRF"
    weakest = result.weakest if result else None
    kept = verdicts.share_kept(result.cases) if result else None
    return {
        "Variant": name,
        "What changes": _changes(current, each.variant) if each else NONE,
        f"{measured} with common cause": measure(result.demand, result.cases.scored) if result else NONE,
        "Changed by": f"× {factor(each.gain)}" if each and each.gain is not None and each.variant.cells else NONE,
        "Verdict": verdicts.in_short(result, "scored") if result else "faults",
        f"{measured} with cyber scenario": measure(result.demand, result.cases.adjusted) if result else NONE,
        "Share kept": percent(kept),
        "Weak link": f"{weakest.id}, {percent(result.share_of('scored')[weakest.id])}" if result and weakest else NONE,
        "Effort": f"{each.variant.effort:g}" if each else NONE,
    }


def _changes(current: State, variant: Variant) -> str:
    changes = variant.changes(current.plant)
    if len(changes) > 6:
        return f"{counted(len(changes), 'cell')} in {', '.join(sorted(variant.cells))}"
    return (
        "; ".join(f"{group} {head.lower()} {old or NONE} → {new or NONE}" for group, head, old, new in changes) or NONE
    )


page = frame.screen(_draw, place="function")
