"""Results of a system on paper: the four cases, function by function what redundancy bought, and the betas."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from checks import curves
from checks.figures import NONE, measure, measure_name, percent, small, target
from checks.results import FunctionResult
from pages.paper import drawings, sheet
from pages.paper.fixed import Fixed
from pages.paper.sheet import Piece
from pages.shared.wording import bought, break_even, titled, what_remains
from scoring.exposure import SCENARIO

BETAS = np.logspace(-3, 0, 61)
CASES = ("single", "ideal", "scored", "adjusted")


def summary(now: Fixed) -> list[Piece]:
    """How many functions fall short, every function's four cases as a table, and all of them as rails."""
    return [
        *sheet.lead(_summed(now.functions)),
        *_four_cases(now.functions),
        *sheet.small(
            "Single: one channel of each group. Ideal: voted, and the channels share nothing. Scored: with the beta of the "
            "common-cause answers. Adjusted: with the beta after the security answers. Kept: the part that is left, of "
            f"the decades that voting can buy. Adjusted values: {SCENARIO}."
        ),
        *sheet.heading("What is left of the redundancy", 2),
        *drawings.rails(now.functions, now.names),
    ]


def _summed(functions: Sequence[FunctionResult]) -> str:
    short = [one for one in functions if one.margin < 1.0]
    if not short:
        return f"{_all(functions)} in this model."
    said = f"{len(short)} of {len(functions)} functions fall short of their target in this model, the worst on top."
    shared = [one.id for one in short if one.cases.ideal <= one.limit]
    if shared:
        said += f" Only shared causes stand between {', '.join(shared)} and the target: without them the channels bought would do."
    return said


def _all(functions: Sequence[FunctionResult]) -> str:
    if len(functions) == 1:
        return "The one function meets its target"
    return f"All {len(functions)} functions meet their targets"


def _four_cases(functions: Sequence[FunctionResult]) -> list[Piece]:
    rows = [
        [
            one.id,
            f"{measure_name(one.demand)} {target(one.demand, one.target)}",
            *(measure(one.demand, getattr(one.cases, case)) for case in CASES),
            percent(one.cases.share_kept),
            "meets the target in this model" if one.meets("adjusted") else "falls short",
        ]
        for one in functions
    ]
    head = ("Function", "Target", "Single", "Ideal", "Scored", "Adjusted", "Kept", "")
    return sheet.table(head, rows, widths=(1.1, 1.2, 0.9, 0.9, 0.9, 1.0, 0.8, 2.5), right=(2, 3, 4, 5, 6))


def function(now: Fixed, one: FunctionResult) -> list[Piece]:
    """One function: what its redundancy bought, who carries what remains, and the curve of its heaviest group."""
    pieces = [
        *sheet.heading(titled(one.id, now.names[one.id]), 2),
        *sheet.lead(f"{bought(one)} {what_remains(one)}"),
        *drawings.shares(one, now.names),
        *_parts(one),
    ]
    redundant = {group.id: group.betas for group in one.groups if group.betas is not None}
    if redundant:
        heaviest = max(redundant, key=one.share.__getitem__)
        betas = redundant[heaviest]
        marked = (betas.beta_int, betas.beta_adjusted / betas.voting_factor)  # so that no figure is interpolated
        through = np.unique((*BETAS, *(beta for beta in marked if BETAS[0] < beta < BETAS[-1])))
        drawn = curves.against_beta(now.assessment, one.id, heaviest, beta_int=through)
        pieces += sheet.heading(f"{one.id} against the beta of {heaviest}", 3)
        pieces += drawings.against_beta(drawn, demand=one.demand, limit=one.limit)
        pieces += sheet.small(
            "The other groups stay as adjusted; tests and repair stay as they are. A flat curve means that this group hardly "
            "matters. 1oo1 and 2oo2 survive no failure: beta does not count for them."
        )
    else:
        pieces += sheet.paragraph("No group of this function is redundant, so beta does nothing here.")
    return pieces + (sheet.paragraph(break_even(one)) if one.demand == "low" else [])


def _parts(one: FunctionResult) -> list[Piece]:
    unit = "PFDavg" if one.demand == "low" else "PFH [1/h]"
    rows = []
    for group in one.groups:
        parts = one.group_parts(group)
        figures = (one.group_cases(group).adjusted, float(parts.independent), float(parts.shared))
        rows.append([group.id, str(group.voting), percent(one.share[group.id]), *map(small, figures)])
    whole = [one.id, "", percent(1.0), small(one.cases.adjusted), "", ""]
    head = ("Group", "Voting", "Share", f"{unit}, adjusted", "Single channels", "Shared")
    return sheet.table(head, [*rows, whole], widths=(1.6, 0.9, 0.9, 1.6, 1.4, 1.2), right=(2, 3, 4, 5))


def betas(now: Fixed) -> list[Piece]:
    """Score, betas and exposure of every group."""
    rows, points = [], []
    for one in now.groups:
        held, score = one.betas, one.score
        exposure = "not reviewed" if one.exposure is None else percent(one.exposure)
        three = [f"{held.voting_factor:g}", percent(held.beta), percent(held.beta_adjusted)] if held else [NONE] * 3
        rows.append([one.id, str(one.voting), percent(held.beta_int if held else None), *three, exposure])
        if score:
            points.append([one.id, *(f"{value:g}" for value in (score.x, score.y, score.z, score.s, score.s_d))])
            points[-1] += [f"{one.asked - one.unanswered} of {one.asked}"]
    head = ("Group", "Voting", "beta_int", "Factor", "beta", "Adjusted", "Exposure")
    return [
        *sheet.table(head, rows, widths=(1.6, 0.9, 1.0, 0.8, 1.0, 1.0, 1.3), right=(2, 3, 4, 5, 6)),
        *sheet.small(
            "beta_int is the value of a 1oo2 group; beta is that times the factor of the voting. A group without redundancy "
            f"has no beta. Adjusted: raised by the exposure of the zone; {SCENARIO}."
        ),
        *_scores(points),
        *_stated(now),
    ]


def _scores(points: Sequence[Sequence[str]]) -> list[Piece]:
    if not points:
        return []
    head = ("Group", "X", "Y", "Z", "S", "S_D", "Questions answered")
    return [
        *sheet.table(head, points, widths=(1.6, 0.9, 0.9, 0.9, 0.9, 0.9, 1.7), right=(1, 2, 3, 4, 5, 6)),
        *sheet.small(
            "S = X + Y gives beta_int, S_D = X (Z + 1) + Y gives the beta of detected failures (Table D.1 to D.4)."
        ),
    ]


def _stated(now: Fixed) -> list[Piece]:
    said = []
    for key in now.scope.groups:
        stated = now.plant.groups[key].stated_beta
        if stated:
            source = stated.source or "no source is named"
            said.append(f"{key}: beta {percent(stated.beta)}, of detected failures {percent(stated.beta_d)}; {source}")
    if not said:
        return []
    return [*sheet.heading("Betas stated instead of the questionnaire", 3), *sheet.items(said)]
