"""What to fix first screen: the cheapest set of answers and changes that meets the targets, and what each of them gains."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from checks.allowed_changes.change import GroupChange
from checks.assessment.verdicts import CASES
from checks.improvement import actions_of_set, house_rules, words
from checks.improvement.advice import Advice, Ranked
from checks.improvement.gains import Gain
from checks.improvement.group_model import Step
from checks.plantfile.plant import Asked
from checks.revision import basis
from checks.state.live import Live, State
from checks.text.faults import Refused
from checks.text.number_format import NONE, factor, measure, measure_name
from pages.cached import improvement
from pages.fix_first import allowed_changes, efforts_table, results_table, set_into_actions
from pages.presentation.wording import ANSWERS, counted, escaped, titled
from pages.ui import frame, places, state, tables
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
        advice = improvement.advised(live, current, state.person(), functions, case)
    except Refused as refused:
        st.info(escaped("\n".join(map(str, refused.faults))))
        return None
    _sentences(current, advice)
    results_table.draw(live, current, advice)
    checked = st.toggle("Check the order against the house rules", key="house_rules", help=house_rules.EXPLAINED)
    _actions(current, advice, advice.by_house_rule if checked else None)
    efforts_table.draw(live, current, [row.step for row in advice.ranked if not isinstance(row.step, GroupChange)])
    allowed_changes.draw(live, current, functions, {row.step: _gain(row.alone) for row in advice.ranked})
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
    """What the screen shows of a state: results of its functions, answers that reach them, efforts, changes, actions."""

    def part(current: State) -> tuple[object, ...]:
        known = [name for name in functions if name in current.plant.functions]
        groups = {key for name in known for key in current.plant.functions[name].group_ids}
        scopes = [basis.scope(current.plant, current.assessment.links, system) for system in current.plant.systems]
        reach = set().union(*(scope.addressees for scope in scopes if groups & set(scope.groups)), {PLANT})
        answers = {
            (answer.question, of, answer.value) for of in reach for answer in current.assessment.answers.of(of).values()
        }
        results = [current.assessment.function(name).cases for name in known]
        records = current.records
        return results, answers, records.efforts, records.allowed, records.actions, current.version.data, current.day

    return part


def _sentences(current: State, advice: Advice) -> None:
    """What to do, in words: for all functions, and for those that can meet their targets where others cannot."""
    st.markdown(f"## {escaped(words.headline(advice.whole))}")
    lines = [words.details(advice.whole)]
    if advice.others is not None:
        lines += [f"{words.headline(advice.others)}.", words.details(advice.others)]
    lines += [words.held(advice.whole), _unknown(current, advice), _hidden(advice)]
    lines.append(
        "An action turns one open answer into met, or makes one allowed change; its effort is in a unit of your own, such as days. A result changes "
        "only when the answer is given in a session, with evidence, or the plant data are changed."
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


def _actions(current: State, advice: Advice, by_house_rule: frozenset[Step] | None) -> None:
    """The actions of the set, then the others, what to do first at the top; those whose place depends on a house rule."""
    known = actions_of_set.open_actions(current)
    rows = [(row.chosen, _row(current, advice, row, known.get(row.step, ""))) for row in advice.ranked]
    if by_house_rule is not None:
        for ranked, (_, cells) in zip(advice.ranked, rows, strict=True):
            cells["Order"] = DEPENDS if ranked.step in by_house_rule else "the same"
    chosen, others = ([cells for inside, cells in rows if inside == wanted] for wanted in (True, False))
    if chosen:
        st.markdown(f"### The set: {_counted(advice, 'answer', chosen=True)}, effort {advice.best.effort:g}")
        tables.table(chosen, key="fix_set", alt="The cheapest set")
    st.markdown(f"### {_counted(advice, 'other open answer' if chosen else 'open answer', chosen=False)}")
    if others:
        alt = "Open answers, those that gain most for their effort at the top"
        tables.table(others, key="fix_others", alt=alt, most=MOST_READ)
    st.caption(
        "In the order of what is gained alone for its effort. A score band of Table D.4 is often reached only by "
        f"several answers: With others names the best pair or triple that reaches a band or the target. {NONE}: under 1 %."
    )


def _counted(advice: Advice, answer: str, *, chosen: bool) -> str:
    """How many answers and changes are in the set, or not in it."""
    steps = [row.step for row in advice.ranked if row.chosen == chosen]
    changes = sum(isinstance(step, GroupChange) for step in steps)
    parts = [counted(len(steps) - changes, answer)] if len(steps) > changes or not changes else []
    return " and ".join([*parts, counted(changes, "change")] if changes else parts)


def _row(current: State, advice: Advice, row: Ranked, action: str) -> dict[str, str]:
    step = row.step
    if isinstance(step, GroupChange):
        before = actions_of_set.present_value(current, step)
        asked, answer, text = ("Change", step.of), f"{before} → {step.to}", actions_of_set.what(current, step)
    else:
        question = current.assessment.banks.questions[step[0]]
        value: Any = actions_of_set.present_value(current, step)
        answer = f"{ANSWERS[value] if step in current.stored else 'none yet'}{_disputed(current, step)}"
        asked, text = step, question.title or question.text
    return {
        "Question": asked[0],
        "Of": asked[1],
        "Effort": f"{row.effort:g}",
        "Alone": _gain(row.alone),
        "With others": _with_others(advice, row),
        "Answer": answer,
        "Open action": action,
        "What is asked": text,
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
    others = [actions_of_set.named(step) for step in advice.named(row.together) if step != row.step]
    return f"{_gain(row.together)} with {' and '.join(others)}"


page = frame.screen(_draw, needs="see gap detail")
