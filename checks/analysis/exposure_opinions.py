"""Result of a function under each exposure rule, for comparison."""

from __future__ import annotations

from checks.assessment.assessment import Assessment
from scoring.methods import registry

NONE = "none"


def by_exposure_rule(assessment: Assessment, function: str) -> dict[str, float]:
    """PFDavg or PFH [1/h] of a function with the cyber scenario, by the label of each exposure rule.

    ``credits`` is left out for a bank that does not state which rows a topic undermines.
    """
    results = {}
    for rule in registry.EXPOSURE.ids():
        if rule == NONE:
            continue  # gives the result with common cause
        editions = assessment.editions.with_exposure_rule(rule)
        if rule == "credits" and not any(topic.undermines for topic in editions.banks.cyber.values()):
            continue
        full = assessment.all_answers
        assessed = Assessment(full.plant, full.answers, links=full.links, editions=editions)
        results[registry.EXPOSURE.get(rule, 1).about.label] = assessed.function(function).cases.adjusted
    return results
