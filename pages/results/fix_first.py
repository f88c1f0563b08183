"""What to fix first screen: the cheapest set of answers that meets the targets, and what each open answer gains."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from checks.assessment.verdicts import CASES
from checks.improvement import actions_of_set, house_rules, words
from checks.improvement.advice import Advice, Ranked
from checks.improvement.gains import Gain
from checks.improvement.plan import Plan
from checks.plantfile.plant import Asked
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.text.number_format import NONE, factor, measure, measure_name, target
from pages.presentation.wording import ANSWERS, counted, escaped, titled
from pages.results import efforts_table, set_into_actions
from pages.ui import caches, frame, places, tables
from scoring.exposure import SCENARIO

MOST_FUNCTIONS = 40
"""Functions of a plant for which a set for all of them is looked for; of a larger one system by system."""
MOST_READ = 12
"""Other open answers whose texts wrap; of more, the grid shows the chosen one in full."""
PLANT = "plant"
RESULTS: dict[str, str] = {case: text for case, text in CASES.items()}  # noqa: C416  (a dict of other keys for the type checker)


DEPENDS = "depends on a house rule"


def _draw(live: Live, current: State) -> frame.Shown | None:
    options = _options(current)
    if not options:
        frame.nothing_to_choose(current, "function")
        return None
    left, right = st.columns([2, 1])
    with left:
        chosen = places.choose("Fix first for", "fix", options, default=_default(current, options))
    with right:
        case: Any = places.choose("Result", "case", RESULTS, default="scored")
    functions = _functions(current, chosen)
    try:
        advice = caches.advised(live, current, functions, case)
    except Refused as refused:
        st.info(escaped("\n".join(map(str, refused.faults))))
        return None
    _sentences(current, advice)
    _results(current, advice.whole if advice.others is None else advice.others, advice)
    checked = st.toggle("Check the order against the house rules", key="house_rules", help=house_rules.EXPLAINED)
    _actions(current, advice, advice.by_house_rule if checked else None)
    efforts_table.draw(live, current, [row.asked for row in advice.ranked])
    if advice.best.actions:
        set_into_actions.draw(live, current, advice.best.actions, _system(current, chosen))
    return _shown(functions)


def _options(current: State) -> dict[str, str]:
    """What the screen can be asked for: a function, a system, or the whole plant."""
    systems = {f"system:{key}": f"System {titled(key, system.name)}" for key, system in current.systems.items()}
    seen = [key for key in current.plant.functions if _visible(current, key)]
    functions = {f"function:{key}": f"Function {titled(key, current.plant.functions[key].name)}" for key in seen}
    whole = {PLANT: "The whole plant"} if current.within is None and len(seen) <= MOST_FUNCTIONS else {}
    return {**functions, **systems, **whole} if seen else {}


def _visible(current: State, function: str) -> bool:
    """Whether the reader sees the answers of a function: those of its groups."""
    return all(current.is_visible(f"group:{key}") for key in current.plant.functions[function].group_ids)


def _default(current: State, options: dict[str, str]) -> str | None:
    """The function with the worst margin."""
    worst = (f"function:{function.id}" for function in current.assessment.functions())
    return next((option for option in worst if option in options), None)


def _functions(current: State, chosen: str) -> tuple[str, ...]:
    kind, _, key = chosen.partition(":")
    if kind == "function":
        return (key,)
    return tuple(current.plant.functions if kind == PLANT else current.plant.systems[key].functions)


def _system(current: State, chosen: str) -> str | None:
    """The system to which actions belong."""
    kind, _, key = chosen.partition(":")
    if kind == "system":
        return key
    return current.assessment.links.system_of_function.get(key) if kind == "function" else None


def _shown(functions: Sequence[str]) -> frame.Shown:
    """What the screen shows of a state: results of its functions, answers that reach them, efforts and actions."""

    def part(current: State) -> tuple[object, ...]:
        known = [name for name in functions if name in current.plant.functions]
        groups = {key for name in known for key in current.plant.functions[name].group_ids}
        scopes = [basis.scope(current.plant, current.assessment.links, system) for system in current.plant.systems]
        reach = set().union(*(scope.addressees for scope in scopes if groups & set(scope.groups)), {PLANT})
        answers = {
            (answer.question, of, answer.value) for of in reach for answer in current.assessment.answers.of(of).values()
        }
        results = [current.assessment.function(name).cases for name in known]
        return results, answers, current.records.efforts, current.records.actions, current.version.data, current.day

    return part


def _sentences(current: State, advice: Advice) -> None:
    """What to do, in words: for all functions, and for those that can meet their targets where others cannot."""
    st.markdown(f"## {escaped(words.headline(advice.whole))}")
    lines = [words.details(advice.whole)]
    if advice.others is not None:
        lines += [f"{words.headline(advice.others)}.", words.details(advice.others)]
    lines += [words.held(advice.whole), _unknown(current, advice), _hidden(advice)]
    lines.append(
        "An action turns one open answer into met; its effort is in a unit of your own, such as days. A result changes "
        "only when the answer is given in a session, with evidence."
    )
    st.markdown(escaped(" ".join(filter(None, lines))))
    frame.method_note(current)
    if advice.whole.model.case == "adjusted":
        st.caption(escaped(f"Cyber scenario: {SCENARIO}."))


def _unknown(current: State, advice: Advice) -> str:
    if advice.whole.model.case != "adjusted":
        return ""
    functions = (current.assessment.function(name) for name in advice.whole.model.functions)
    groups = dict.fromkeys(group for function in functions for group in function.unreviewed)
    if not groups:
        return ""
    return f"Nobody has reviewed the zone of {', '.join(groups)}: its gaps are not known, so none of them is listed."


def _hidden(advice: Advice) -> str:
    if not advice.hidden:
        return ""
    return f"Blind round: {counted(advice.hidden, 'hidden answer')} counted as not known here."


def _results(current: State, plan: Plan, advice: Advice) -> None:
    """Functions now, after the set, and with everything met."""
    rows = []
    for name in advice.whole.model.functions:
        function = current.plant.functions[name]
        after = plan.after.get(name) if plan.chosen else None
        reached = plan.meets(name, plan.after) if after is not None else None
        rows.append(
            {
                "Function": name,
                "Result": measure_name(function.demand),
                "Target": target(function.demand, function.target, function.target_sil),
                "Now": measure(function.demand, advice.whole.before[name]),
                "After the set": NONE if after is None else measure(function.demand, after),
                "All answers met": measure(function.demand, advice.whole.together[name]),
                "Target met": _verdict(advice.whole, name, reached=reached),
            }
        )
    tables.table(rows, key="fix_results", alt="Functions now, after the set, and with all answers met")


def _verdict(plan: Plan, name: str, *, reached: bool | None) -> str:
    if plan.meets(name, plan.before):
        return "already"
    if reached:
        return "after the set"
    return "not by answers alone" if name in plan.beyond else "not by this set"


def _actions(current: State, advice: Advice, by_house_rule: frozenset[Asked] | None) -> None:
    """The actions of the set, then the others, what to do first at the top; those whose place depends on a house rule."""
    known = actions_of_set.open_actions(current)
    rows = [(row.chosen, _row(current, advice, row, known.get(row.asked, ""))) for row in advice.ranked]
    if by_house_rule is not None:
        for ranked, (_, cells) in zip(advice.ranked, rows, strict=True):
            cells["Order"] = DEPENDS if ranked.asked in by_house_rule else "the same"
    chosen, others = ([cells for inside, cells in rows if inside == wanted] for wanted in (True, False))
    if chosen:
        st.markdown(f"### The set: {counted(len(chosen), 'answer')}, effort {advice.best.effort:g}")
        tables.table(chosen, key="fix_set", alt="The cheapest set")
    st.markdown(f"### {counted(len(others), 'other open answer' if chosen else 'open answer')}")
    if others:
        alt = "Open answers, those that gain most for their effort at the top"
        tables.table(others, key="fix_others", alt=alt, most=MOST_READ)
    st.caption(
        "In the order of what is gained alone for its effort. A score band of Table D.4 is often reached only by "
        f"several answers: With others names the best pair or triple that reaches a band or the target. {NONE}: under 1 %."
    )


def _row(current: State, advice: Advice, row: Ranked, action: str) -> dict[str, str]:
    question = current.assessment.banks.questions[row.asked[0]]
    value: Any = actions_of_set.present_value(current, row.asked)
    answered = row.asked in current.stored
    return {
        "Question": row.asked[0],
        "Of": row.asked[1],
        "Effort": f"{row.effort:g}",
        "Alone": _gain(row.alone),
        "With others": _with_others(advice, row),
        "Answer": f"{ANSWERS[value] if answered else 'none yet'}{_disputed(current, row.asked)}",
        "Open action": action,
        "What is asked": question.title or question.text,
    }


def _disputed(current: State, asked: Asked) -> str:
    open_dissents = (each for each in current.records.dissents.get(asked, ()) if not each.closed)
    return ", disputed" if any(open_dissents) else ""


def _gain(gain: Gain | None) -> str:
    if gain is None:
        return NONE
    before, after = measure(gain.demand, gain.before), measure(gain.demand, gain.after)
    return f"{gain.function} {measure_name(gain.demand)} {before} → {after}, ×{factor(gain.factor)}"


def _with_others(advice: Advice, row: Ranked) -> str:
    if row.together is None:
        return NONE
    others = [f"{question} of {of}" for question, of in advice.named(row.together) if (question, of) != row.asked]
    return f"{_gain(row.together)} with {' and '.join(others)}"


page = frame.screen(_draw, needs="see gap detail")
