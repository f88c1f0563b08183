"""What exposure does to the betas, and what falls together when a zone is compromised."""

from __future__ import annotations

from checks.assessment import verdicts
from checks.text.number_format import NONE, measure, measure_name, percent
from pages.presentation.wording import break_even
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed
from pages.reports.sections.zones import called
from scoring.exposure import SCENARIO


def exposure_of_groups(now: Fixed) -> list[Piece]:
    """Exposure of each group and its beta before and after; functions with common cause and with the cyber scenario."""
    rows = []
    for one in now.groups:
        held = now.plant.groups[one.id]
        exposure = "not reviewed" if one.exposure is None else percent(one.exposure)
        pair = (one.betas.beta, one.betas.beta_adjusted) if one.betas else (None, None)
        rows.append([one.id, held.zone or "none", exposure, *map(percent, pair)])
    functions = [
        [
            one.id,
            measure_name(one.demand),
            measure(one.demand, one.cases.scored),
            verdicts.in_short(one, "scored"),
            measure(one.demand, one.cases.adjusted),
            verdicts.in_short(one, "adjusted"),
        ]
        for one in now.functions
    ]
    head = ("Group", "Zone", "Exposure", "Beta", "Beta, cyber scenario")
    return [
        *page_layout.lead(
            f"{SCENARIO[0].upper()}{SCENARIO[1:]}. Unmet topics of a zone make the exposure of its programmable groups, weighted "
            f"3, 2 or 1; exposure only ever raises beta ({now.assessment.editions.exposure.about.label})."
        ),
        *page_layout.table(head, rows, widths=(2.0, 1.0, 1.4, 1.4, 1.4), right=(2, 3, 4)),
        *page_layout.table(
            ("Function", "", "With common cause", "Verdict", "Cyber scenario", "Verdict, cyber scenario"),
            functions,
            widths=(1.3, 0.7, 1.5, 1.5, 1.4, 1.8),
            right=(2, 4),
        ),
    ]


def compromised(now: Fixed) -> list[Piece]:
    """Functions that fall together with a zone, and the break-even of each function of this system."""
    rows = [[called(now, one), str(len(one.reach)), ", ".join(one.reach) or NONE] for one in now.zones]
    return [
        *page_layout.table(("Zone", "Functions", "Which fall together"), rows, widths=(2.4, 0.9, 4.0), right=(1,)),
        *page_layout.paragraph(
            "An attack and a demand are not independent: who can compromise a zone can cause the demand too."
        ),
        *page_layout.items(f"{one.id}: {break_even(one)}" for one in now.functions if one.demand == "low"),
    ]
