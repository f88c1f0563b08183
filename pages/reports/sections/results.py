"""Results of a system on paper: the four cases, each function with its redundancy, and the betas."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from checks.analysis import beta_curves
from checks.assessment import verdicts
from checks.assessment.results import FunctionResult
from checks.reach import compromise
from checks.text.number_format import NONE, measure, measure_name, percent, small, target
from pages.presentation.wording import break_even, redundancy_sentence, titled, verdict_sentence, without_beta
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.exposure import SCENARIO

BETAS = np.logspace(-3, 0, 61)
NOT_DRAWN = "The curve against beta is not drawn: this program computes other figures than the stored ones."
CASES = ("single", "ideal", "scored", "adjusted")


def summary(reported: ReportedRevision) -> list[Piece]:
    """Number of functions that fall short, the four cases of every function as a table, and a rail chart."""
    return [
        *page_layout.lead(_verdict_summary(reported.functions)),
        *_four_cases(reported.functions),
        *page_layout.small(
            "One channel: one channel of each group. No common cause: voted, beta 0. With common cause: with the beta of the "
            "common-cause answers. Cyber scenario: with the beta after the security answers; a house rule, which alone fails no "
            "function. Kept: share of the decades gained by redundancy that is left with both; – where redundancy gains little. "
            f"Cyber scenario: {SCENARIO}."
        ),
        *page_layout.heading("What is left of the redundancy", 2),
        *result_charts.rails(reported.functions, reported.names),
    ]


def _verdict_summary(functions: Sequence[FunctionResult]) -> str:
    return (
        " ".join(verdicts.summary(functions)) + " All results are from this model; the worst function is listed first."
    )


def _four_cases(functions: Sequence[FunctionResult]) -> list[Piece]:
    rows = [
        [
            function.id,
            f"{measure_name(function.demand)} {target(function.demand, function.target, function.target_sil)}",
            *(measure(function.demand, getattr(function.cases, case)) for case in CASES),
            percent(verdicts.share_kept(function.cases)),
            *(verdicts.in_short(function, case) for case in verdicts.CASES),
        ]
        for function in functions
    ]
    head = (
        "Function",
        "Target",
        "One channel",
        "No common cause",
        "With common cause",
        "Cyber scenario",
        "Kept",
        "Verdict with common cause",
        "Verdict, cyber scenario",
    )
    widths = (1.0, 1.1, 0.9, 0.9, 0.9, 0.9, 0.7, 1.4, 1.4)
    return page_layout.table(head, rows, widths=widths, right=(2, 3, 4, 5, 6))


def function_section(reported: ReportedRevision, function: FunctionResult) -> list[Piece]:
    """One function: what redundancy gains, which group limits it, zones that defeat it, and the curve against beta."""
    pieces = [
        *page_layout.heading(titled(function.id, reported.names[function.id]), 2),
        *page_layout.lead(f"{redundancy_sentence(function)} {verdict_sentence(function)}"),
        *result_charts.shares(function, reported.names),
        *_group_table(function),
    ]
    redundant = {group.id: group.betas for group in function.groups if group.betas is not None}
    if not reported.assessment.reproduced:
        pieces += page_layout.paragraph(NOT_DRAWN)
    elif redundant:
        share = function.share_of("scored")
        heaviest = max(redundant, key=lambda key: share[function.entry_of(key).id])
        betas = redundant[heaviest]
        marked = (betas.beta_int, betas.beta_adjusted / betas.voting_factor)  # so that no figure is interpolated
        through = np.unique((*BETAS, *(beta for beta in marked if BETAS[0] < beta < BETAS[-1])))
        drawn = beta_curves.against_beta(reported.assessment, function.id, heaviest, beta_int=through)
        pieces += page_layout.heading(f"{function.id} against the beta of {heaviest}", 3)
        pieces += result_charts.against_beta(drawn, demand=function.demand, limit=function.limit)
        pieces += page_layout.small(
            "With common cause. Other groups, tests and repair are unchanged. A flat curve means that this group contributes "
            "little. 1oo1 and 2oo2 have no fault tolerance, so beta has no effect on them."
        )
    else:
        pieces += page_layout.paragraph("No group of this function is redundant, so beta has no effect.")
    pieces += _zones_that_defeat(reported, function)
    return pieces + (page_layout.paragraph(break_even(function)) if function.demand == "low" else [])


def _zones_that_defeat(reported: ReportedRevision, function: FunctionResult) -> list[Piece]:
    """Zones whose compromise defeats the function; their gaps are in the annex."""
    ways = compromise.ways(reported.assessment, function.id)
    text = "One compromise defeats it: " + "; ".join(
        f"zone {way.zone} ({', '.join(way.groups)}), conduits in: {', '.join(key for key, _ in way.conduits) or 'none'}"
        for way in ways
    )
    pieces = page_layout.paragraph(f"{text}.") if ways else []
    unmoved = compromise.unmoved(reported.assessment, function.id)
    if unmoved:
        pieces += page_layout.small(without_beta(unmoved))
    return pieces


def _group_table(function: FunctionResult) -> list[Piece]:
    unit = "PFDavg" if function.demand == "low" else "PFH [1/h]"
    rows, share = [], function.share_of("scored")
    for entry in function.entries:
        parts, cases = entry.measured.scored, entry.measured.cases
        split = (float(parts.independent), float(parts.shared)) if parts else (None, None)
        figures = (cases.scored, *split, entry.measured.terms.total or None, cases.adjusted)
        rows.append([entry.id, entry.arrangement, percent(share[entry.id]), *map(small, figures)])
    whole = [function.id, "", percent(1.0), small(function.cases.scored), "", "", "", small(function.cases.adjusted)]
    head = (
        "Group",
        "Voting",
        "Share",
        f"{unit} with common cause",
        "Independent",
        "Common cause",
        "Tests, stated",
        "Cyber scenario",
    )
    widths = (1.5, 0.8, 0.8, 1.4, 1.1, 1.1, 1.0, 1.1)
    return page_layout.table(head, [*rows, whole], widths=widths, right=(2, 3, 4, 5, 6, 7))


def betas(reported: ReportedRevision) -> list[Piece]:
    """Score, betas and exposure of every group."""
    rows, points = [], []
    for group in reported.groups:
        group_betas, score = group.betas, group.score
        exposure = "not reviewed" if group.exposure is None else percent(group.exposure)
        three = (
            [f"{group_betas.voting_factor:g}", percent(group_betas.beta), percent(group_betas.beta_adjusted)]
            if group_betas
            else [NONE] * 3
        )
        rows.append(
            [group.id, group.arrangement, percent(group_betas.beta_int if group_betas else None), *three, exposure]
        )
        if score:
            points.append([group.id, *(f"{value:g}" for value in (score.x, score.y, score.z, score.s, score.s_d))])
            points[-1] += [f"{group.asked - group.unanswered} of {group.asked}"]
    head = ("Group", "Voting", "beta_int", "Factor", "beta", "Cyber scenario", "Exposure")
    return [
        *page_layout.table(head, rows, widths=(1.6, 0.9, 1.0, 0.8, 1.0, 1.0, 1.3), right=(2, 3, 4, 5, 6)),
        *page_layout.small(
            "beta_int is the value of a 1oo2 group; beta is that times the MooN factor. A group without fault tolerance "
            f"has no beta. Cyber scenario: raised by the exposure of the zone; {SCENARIO}."
        ),
        *_scores(points),
        *_specified_betas(reported),
    ]


def _scores(points: Sequence[Sequence[str]]) -> list[Piece]:
    if not points:
        return []
    head = ("Group", "X", "Y", "Z", "S", "S_D", "Questions answered")
    return [
        *page_layout.table(head, points, widths=(1.6, 0.9, 0.9, 0.9, 0.9, 0.9, 1.7), right=(1, 2, 3, 4, 5, 6)),
        *page_layout.small(
            "S = X + Y gives beta_int, S_D = X (Z + 1) + Y gives the beta of detected failures (Table D.1 to D.4)."
        ),
    ]


def _specified_betas(reported: ReportedRevision) -> list[Piece]:
    lines = []
    for key in reported.scope.groups:
        stated = reported.plant.groups[key].stated_beta
        if stated:
            source = stated.source or "no source is named"
            of = "of the group, without MooN factor" if stated.of == "group" else "of a pair"
            lines.append(
                f"{key}: beta {percent(stated.beta)}, of detected failures {percent(stated.beta_d)}, {of}; {source}"
            )
    if not lines:
        return []
    return [*page_layout.heading("Betas specified instead of the questionnaire", 3), *page_layout.items(lines)]
