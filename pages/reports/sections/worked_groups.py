"""Each redundant group by hand: its points, betas and equations with the numbers put in, and the stored result."""

from __future__ import annotations

from collections.abc import Iterator

from checks.assessment import redundancy_inputs
from checks.assessment.groups import BetaCalculation
from checks.assessment.results import Betas, FunctionResult, GroupResult
from checks.plantfile.equipment import Element
from pages.presentation.wording import ANSWERS, titled
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision
from scoring.equipment import VotedGroup
from scoring.method import Claims, Exposed, Measure
from scoring.numbers import put_in

NOT_SHOWN = "The calculation is not shown: this program computes other figures than the stored ones."
NO_REDUNDANCY = "No group is redundant, so there is no beta to calculate."
HOW = (
    "Numbers are cut to four digits, so a calculation by hand agrees to about three. 1 FIT is 10⁻⁹/h. The equations in symbols are "
    "under Method and conventions, the answers with their evidence under Answers with evidence."
)
HEAD = ("Question", "Answer", "X", "Y", "X counts", "Y counts")


def worked_groups(reported: ReportedRevision) -> list[Piece]:
    """Every redundant group, once for each voting and measure in which a function uses it."""
    if not reported.assessment.reproduced:
        return page_layout.paragraph(NOT_SHOWN)
    pieces = [piece for group, measure in _used(reported.functions) for piece in _worked(reported, group, measure)]
    return [*page_layout.lead(HOW), *pieces] if pieces else page_layout.paragraph(NO_REDUNDANCY)


def _used(functions: list[FunctionResult]) -> Iterator[tuple[GroupResult, Measure]]:
    seen = set()
    for function in functions:
        for group in (group for entry in function.entries for group in entry.groups):
            use = (group.id, str(group.voting), function.measure)
            if group.betas is not None and use not in seen:
                seen.add(use)
                yield group, function.measure


def _worked(reported: ReportedRevision, group: GroupResult, measure: Measure) -> list[Piece]:
    assessment, betas = reported.assessment, group.betas
    if betas is None:
        return []
    calculation = assessment.calculation(group.id, group.voting)
    exposed = calculation.exposed(assessment.claims(group.id))
    method = assessment.editions.redundancy_of(group.id)
    voted = redundancy_inputs.voted_for(assessment.editions, reported.plant, group.id, group.voting)
    unit = "PFDavg" if measure == "pfd" else "PFH"
    return [
        *page_layout.heading(f"{titled(group.id, reported.names[group.id])}: {group.voting}, {unit}", 2),
        *(_points(reported, group, exposed.claims) if exposed.claims else []),
        *page_layout.heading(f"Beta of {group.id}", 3),
        *page_layout.items(_beta_lines(calculation, exposed, betas)),
        *page_layout.heading(f"{unit} of {group.id} with common cause", 3),
        *page_layout.items([*_rates(reported, group.id), *_tests(voted)]),
        *page_layout.items(method.worked(measure, voted, beta=betas.beta, beta_d=betas.beta_d)),
        *page_layout.items(_result_lines(group, measure, unit)),
    ]


def _points(reported: ReportedRevision, group: GroupResult, claims: Claims) -> list[Piece]:
    """Every question with its points, and what of them counts; the last row is the sum."""
    method = reported.assessment.beta_method(group.id)
    counting, rows = method.counted(claims), []
    for name, row in reported.assessment.questioned(group.id).items():
        answer = group.answers.get(name)
        counts = (row.x, row.y) if name in counting else (0.0, 0.0)
        value = ANSWERS[answer.value] if answer else "Not answered"
        if name in claims.claimed and name not in counting:
            value += ", but a better alternative counts"
        rows.append([name, value, *(f"{points:g}" for points in (row.x, row.y, *counts))])
    if group.score is None:
        return []
    rows.append(["Sum", "", "", "", f"{group.score.x:g}", f"{group.score.y:g}"])
    part = "logic" if claims.part == "logic" else "sensors and final elements"
    return [
        *page_layout.lead(f"Points for {part}: {method.points_source}. Met, and met by a compensating measure, count."),
        *page_layout.table(HEAD, rows, widths=(1.1, 3.6, 0.8, 0.8, 1.0, 1.0), right=(2, 3, 4, 5)),
    ]


def _beta_lines(calculation: BetaCalculation, exposed: Exposed, betas: Betas) -> Iterator[str]:
    if exposed.claims is not None:
        yield from calculation.method.worked(exposed.claims)
    else:
        yield f"specified: beta_int = {put_in(betas.beta_int)}, beta_D,int = {put_in(betas.beta_d_int)}"
    about = calculation.moon_factor.about
    yield f"factor of {calculation.voting} = {put_in(betas.voting_factor)} ({about.source})"
    for name, pair, beta in (("beta", betas.beta_int, betas.beta), ("beta_D", betas.beta_d_int, betas.beta_d)):
        yield f"{name} = min(1, {put_in(pair)} x {put_in(betas.voting_factor)}) = {put_in(beta)}"
    rule = calculation.editions.exposure.about
    if calculation.g is None:
        yield "exposure: not reviewed or not used, so no beta is raised"
        return
    yield (
        f"exposure g = {put_in(calculation.g)} ({rule.label}; the topics behind it are in the security annex): {rule.formula[-1]} gives "
        f"beta {put_in(betas.beta_adjusted)} and beta_D {put_in(betas.beta_d_adjusted)} in the cyber scenario"
    )


def _rates(reported: ReportedRevision, key: str) -> Iterator[str]:
    """Rates of each kind of channel in FIT, added up over its devices."""
    devices, group = reported.plant.devices, reported.plant.groups[key]
    for element in dict.fromkeys(group.elements):
        of_devices = ", ".join(
            f"{name} lambda_DU {devices[name].lambda_du_fit:g} and lambda_DD {devices[name].lambda_dd_fit:g} FIT"
            for name in dict.fromkeys(element.of)
        )
        yield f"redundant element {element} in a channel: {of_devices}"
    for channel in dict.fromkeys(map(tuple, group.channels)):
        sums, in_series = [], [part for part in channel if not isinstance(part, Element)]
        if not in_series:
            continue
        for symbol, field in (("lambda_DU", "lambda_du_fit"), ("lambda_DD", "lambda_dd_fit")):
            rates = [getattr(devices[name], field) or 0.0 for name in in_series]
            terms = " + ".join(f"{rate:g}" for rate in rates)
            sums.append(f"{symbol} = {terms}{f' = {sum(rates):g}' if len(rates) > 1 else ''} FIT")
        beside = " beside its redundant elements" if len(in_series) < len(channel) else ""
        yield f"a channel of {' + '.join(in_series)}{beside}: {', '.join(sums)}"


def _tests(voted: VotedGroup) -> Iterator[str]:
    """Which share of the undetected failures is found when, MRT and MTTR, of each kind of channel."""
    for upkeep in dict.fromkeys(channel.upkeep for channel in voted.channels):
        shares = ", ".join(
            f"{put_in(found.share)} of lambda_DU found every {found.interval:g} h"
            if found.by_test
            else f"{put_in(found.share)} of lambda_DU found by no test in {found.interval:g} h"
            for found in upkeep.found
            if found.share > 0.0
        )
        yield f"tests: {shares}; MRT {upkeep.mrt:g} h, MTTR {upkeep.mttr:g} h"


def _result_lines(group: GroupResult, measure: Measure, unit: str) -> Iterator[str]:
    """The stored result: its parts added up, and that of the cyber scenario."""
    measured, per = group.measured(measure), "" if measure == "pfd" else "/h"
    parts = measured.scored
    if parts is not None:
        terms = [put_in(float(parts.independent)), put_in(float(parts.shared))]
        if measured.terms.total:
            terms.append(f"{put_in(measured.terms.total)} of tests")
        yield f"{unit} of {group.id} = {' + '.join(terms)} = {put_in(measured.cases.scored)}{per}"
    yield f"the same equations with the betas of the cyber scenario: {put_in(measured.cases.adjusted)}{per}"
