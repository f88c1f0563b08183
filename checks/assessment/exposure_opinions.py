"""Second opinions on a function: its result under every exposure rule, side by side on one axis."""

from __future__ import annotations

from checks.assessment.assessment import Assessment
from scoring.methods import registry

RULES = ("to-single", "graded", "credits")
"""Exposure rules that are compared; ``none`` gives the result with common cause."""


def by_exposure_rule(assessment: Assessment, function: str) -> dict[str, float]:
    """PFDavg or PFH [1/h] of a function with the cyber scenario, by the label of each exposure rule.

    The rule ``credits`` needs a bank that says which rows a topic undermines; it is left out where the bank does not.
    """
    found = {}
    for rule in RULES:
        editions = assessment.editions.with_exposure_rule(rule)
        if rule == "credits" and not any(topic.undermines for topic in editions.banks.cyber.values()):
            continue
        other = Assessment(assessment.plant, assessment.answers, links=assessment.links, editions=editions)
        found[registry.EXPOSURE.get(rule, 1).about.label] = other.function(function).cases.adjusted
    return found
