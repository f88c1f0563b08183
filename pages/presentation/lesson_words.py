"""What the revisions of a plant teach, in words: what the first one hid, which purchase bought little, which change bought most."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.comparison.differences import AnswerFact, DataFact, Fact
from checks.comparison.lessons import Claim, Effect
from checks.comparison.steps import Step
from checks.plant_tables.columns import GROUPS
from checks.text.number_format import factor, measure, measure_name, percent, target
from checks.variants.variant import HARDLY, NOTHING
from pages.presentation.wording import ANSWERS, value_text

HEADS = {column.key: column for column in GROUPS}
FACTORS = "Factors are with the cyber scenario, each step in its place on What changed. Cyber answers are left out; the change named here still stands."


def change_text(fact: Fact) -> str:
    """A change of an answer or of plant data in one line."""
    if isinstance(fact, AnswerFact):
        old = ANSWERS[fact.old.value] if fact.old else "not answered"
        new = ANSWERS[fact.new.value] if fact.new else "not answered"
        return f"{fact.question} of {fact.of}: {old} → {new}"
    if fact.whole:
        return f"{fact.place} {'added' if fact.old is None else 'removed'}"
    return f"{fact.place}: {value_text(fact.old)} → {value_text(fact.new)}"


def step_text(step: Step) -> str:
    """The changes of a step in one line."""
    return "; ".join(change_text(fact) for fact in step.facts)


def first_record(claims: Sequence[Claim], today: FunctionResult | None) -> tuple[str, str]:
    """Headline and sentences on the first of these claims of the first revision, and the ids of the others."""
    claim = claims[0]
    first, later, name = claim.first, claim.later, measure_name(claim.first.demand)
    said, found = (measure(each.demand, each.cases.scored) for each in (first, later))
    verb = "hid" if claim.hid else "overstated"
    source = f" ({claim.source})" if claim.source else ""
    text = (
        f"Revision {claim.numbers[0]}{source}: {first.id} {verdicts.in_words(first, 'scored')}, {name} {said}. Revision "
        f"{claim.numbers[1]}: it {verdicts.in_words(later, 'scored')}, {name} {found}."
    )
    if today is not None and today.demand == first.demand:
        text += f" Today: {name} {measure(today.demand, today.cases.scored)}."
    if len(claims) > 1:
        text += f" The same at {', '.join(other.first.id for other in claims[1:])}."
    return f"What the first record {verb}: {first.id}, {name} {said} said, {found} found", text


def purchase(effect: Effect) -> tuple[str, str]:
    """Headline and sentences on a purchase that bought hardly anything."""
    gain, before, after = effect.step.gain, effect.before, effect.after
    amount = "nothing" if gain < NOTHING else "hardly anything" if gain < HARDLY else "little"
    groups = {str(fact.at[1]) for fact in effect.step.facts if isinstance(fact, DataFact) and fact.at[0] == "groups"}
    bought, gone = (
        [f"{entry.id} ({entry.arrangement})" for entry in function.entries if entry.id in groups]
        for function in (after, before)
    )
    weakest = after.weakest
    text = f"{_moved(effect)}, a factor {factor(gain)}: {', '.join(bought)} in place of {', '.join(gone) or 'nothing'}. {_result(effect)}"
    if not groups.intersection(group.id for group in weakest.groups):
        share = percent(after.share_of("scored")[weakest.id])
        text += f" {weakest.id} ({weakest.arrangement}) contributes {share} and stayed as it was."
    named = ", ".join(entry.id for entry in after.entries if entry.id in groups)
    return f"The purchase that bought {amount}: {named} for {after.id}", text


def change(effect: Effect) -> tuple[str, str]:
    """Headline and sentences on the change without equipment that bought most."""
    what = "; ".join(_in_short(fact) for fact in effect.step.facts)
    return (
        f"The change without equipment that bought most: a factor {factor(effect.step.gain)} for {effect.after.id}",
        f"{_moved(effect)}: {what}. {_result(effect)}",
    )


def _moved(effect: Effect) -> str:
    return f"Revision {effect.numbers[0]} to {effect.numbers[1]}"


def _result(effect: Effect) -> str:
    """The function before and after with common cause, with all that changed between the two revisions."""
    before, after = effect.before, effect.after
    old, new = (measure(each.demand, each.cases.scored) for each in (before, after))
    return (
        f"{after.id} with all that changed: {measure_name(after.demand)} {old} → {new} with common cause, target "
        f"{target(after.demand, after.target, after.target_sil)}; it {verdicts.in_words(after, 'scored')}."
    )


def _in_short(fact: Fact) -> str:
    """A change of tests by the head of its column, another one as on What changed."""
    if isinstance(fact, DataFact) and fact.at[0] == "groups":
        column = HEADS.get(".".join(map(str, fact.at[2:])))
        if column is not None:
            values = f"{_value(fact.old)} → {_value(fact.new)} {column.unit}"
            return f"{column.title.lower()} of {fact.at[1]} {values}".rstrip()
    return change_text(fact)


def _value(value: Any) -> str:
    """A value as people write it: hours without a decimal."""
    return f"{value:,.0f}" if isinstance(value, float) and value.is_integer() and value > 1.0 else value_text(value)
