"""Effect of exposure on beta, and the functions that the compromise of a zone defeats."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from checks.assessment import verdicts
from checks.text.number_format import NONE, measure, measure_name, percent
from pages.presentation.wording import break_even
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from pages.reports.security_sections.zones import zone_title
from scoring.exposure import CLASS_VALUE, SCENARIO
from scoring.method import Unmet
from scoring.numbers import put_in


def exposure_of_groups(reported: ReportedRevision) -> list[Piece]:
    """Exposure of each group with its beta before and after; functions with common cause and with the cyber scenario."""
    rows = []
    for group in reported.groups:
        described = reported.plant.groups[group.id]
        exposure = "not reviewed" if group.exposure is None else percent(group.exposure)
        pair = (group.betas.beta, group.betas.beta_adjusted) if group.betas else (None, None)
        rows.append([group.id, described.zone or "none", exposure, *map(percent, pair)])
    functions = [
        [
            function.id,
            measure_name(function.demand),
            measure(function.demand, function.cases.scored),
            verdicts.in_short(function, "scored"),
            measure(function.demand, function.cases.adjusted),
            verdicts.in_short(function, "adjusted"),
        ]
        for function in reported.functions
    ]
    head = ("Group", "Zone", "Exposure", "Beta", "Beta, cyber scenario")
    return [
        *page_layout.lead(
            f"{SCENARIO[0].upper()}{SCENARIO[1:]}. The unmet topics of a zone, weighted 3, 2 or 1, give the exposure of its "
            f"programmable groups. Exposure can only raise beta. Exposure rule: {reported.assessment.editions.exposure.about.label}."
        ),
        *page_layout.table(head, rows, widths=(2.0, 1.0, 1.4, 1.4, 1.4), right=(2, 3, 4)),
        *_worked_exposures(reported),
        *page_layout.table(
            ("Function", "", "With common cause", "Verdict", "Cyber scenario", "Verdict, cyber scenario"),
            functions,
            widths=(1.3, 0.7, 1.5, 1.5, 1.4, 1.8),
            right=(2, 4),
        ),
    ]


def _worked_exposures(reported: ReportedRevision) -> list[Piece]:
    """From the unmet topics of each redundant programmable group to its exposure and beta, with the numbers put in."""
    if not reported.assessment.reproduced:
        return []
    pieces: list[Piece] = []
    for group in reported.groups:
        calculation = reported.assessment.calculation(group.id)
        unmet = [topic for topic in calculation.topics or () if topic.share > 0.0]
        if group.betas is None or not unmet:
            continue
        exposed = calculation.exposed(reported.assessment.claims(group.id))
        by_weight = [
            (weight, value, [topic for topic in unmet if topic.weight == weight])
            for weight, value in CLASS_VALUE.items()
        ]
        named = [
            f"weight {weight}, class value {value:g}: {', '.join(f'{topic.topic} {topic.share:g}' for topic in topics)}"
            for weight, value, topics in by_weight
            if topics
        ]
        zone = reported.plant.groups[group.id].zone or "none"
        pieces += [
            *page_layout.heading(f"Exposure of {group.id}, zone {zone}: unmet topics with their unmet share", 3),
            *page_layout.items(
                [*named, f"g = {_product(unmet)} = {put_in(exposed.g)}", *calculation.editions.exposure.worked(exposed)]
            ),
        ]
    return pieces


def _product(unmet: Sequence[Unmet]) -> str:
    """1 - product of (1 - class value x unmet share), like factors as a power."""
    factors = Counter((CLASS_VALUE[topic.weight], topic.share) for topic in unmet)
    terms = (f"(1 - {value:g} x {share:g})^{count}" for (value, share), count in sorted(factors.items(), reverse=True))
    return f"1 - {' x '.join(terms)}"


def compromised(reported: ReportedRevision) -> list[Piece]:
    """Functions that the compromise of a zone defeats, and the break-even of each function of this system."""
    rows = [
        [zone_title(reported, zone), str(len(zone.reach)), ", ".join(zone.reach) or NONE] for zone in reported.zones
    ]
    return [
        *page_layout.table(
            ("Zone", "Functions", "Functions defeated together"), rows, widths=(2.4, 0.9, 4.0), right=(1,)
        ),
        *page_layout.paragraph(
            "An attack and a demand are not independent: an attacker who compromises a zone can also cause the demand."
        ),
        *page_layout.items(
            f"{function.id}: {break_even(function)}" for function in reported.functions if function.demand == "low"
        ),
    ]
