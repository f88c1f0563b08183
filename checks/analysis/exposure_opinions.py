"""Results under each exposure rule, for comparison."""

from __future__ import annotations

from checks.assessment.assessment import Assessment
from scoring.methods import registry

NONE = "none"


def by_rule(assessment: Assessment) -> dict[str, Assessment]:
    """The assessment by each exposure rule, by the label of the rule; its answers are all that count.

    ``credits`` is left out for a bank that does not state which rows a topic undermines.
    """
    full, found = assessment.all_answers, {}
    for rule in registry.EXPOSURE.ids():
        if rule == NONE:
            continue  # gives the result with common cause
        editions = full.editions.with_exposure_rule(rule)
        if rule == "credits" and not any(topic.undermines for topic in editions.banks.cyber.values()):
            continue
        label = registry.EXPOSURE.get(rule, 1).about.label
        found[label] = Assessment(full.plant, full.answers, links=full.links, editions=editions)
    return found


def by_exposure_rule(assessment: Assessment, function: str) -> dict[str, float]:
    """PFDavg or PFH [1/h] of a function with the cyber scenario, by the label of each exposure rule."""
    return {label: each.function(function).cases.adjusted for label, each in by_rule(assessment).items()}
