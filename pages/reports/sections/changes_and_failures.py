"""What happened to a system: changes, failures and send-backs since its last signed revision, and what all failures say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from checks.events.plant import failure
from checks.reassessment.failure_counts import FailureHistory
from checks.reassessment.kinds_of_change import kinds
from checks.reassessment.own_beta import own_betas
from checks.reassessment.own_rates import own_rates
from checks.state.revision_status import Cause
from checks.text.number_format import NONE
from pages.charts.beta_intervals import reading
from pages.presentation import own_failures
from pages.presentation.direction import isolated
from pages.presentation.wording import COMMON_CAUSE, FOUND_BY, counted
from pages.reports.charts import result_charts
from pages.reports.layout import page_layout
from pages.reports.layout.blocks import Block
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, last_signed_before, of_security_change
from scoring.field_data.observed_rates import OBSERVED_RATES
from scoring.field_data.pair_beta import PAIR_BETA

IN_ANNEX = "listed in the security annex"


def changes_and_failures(reported: ReportedRevision, *, security: bool) -> list[Piece]:
    """Changes, failures and comments of one half since the last signed revision; those after the reported one are marked."""
    before = last_signed_before(reported)
    since = 0 if before is None else before.revision.cause.seq
    span = (
        "No earlier revision has both signatures, so everything on record is listed."
        if before is None
        else f"Recorded since revision {before.revision.number} was fixed on {before.revision.cause.day}."
    )
    return [
        *page_layout.lead(
            f"{span} {'Security half.' if security else 'What is of the security half is in the annex.'}"
        ),
        *_table(
            ("Date, reference", "Change", "Concerns", "Recorded"),
            list(_changes(reported, since, security=security)),
            (1.5, 3.6, 1.7, 1.9),
            "No plant change is recorded.",
        ),
        *_hidden(reported, since, security=security),
        *_failures(reported, since, security=security),
        *_table(
            ("Revision, half", "Sent back before this revision, with the comment", "By"),
            list(_sent_back(reported, since, security=security)),
            (1.5, 5.3, 1.9),
            "No revision in between was sent back.",
        ),
    ]


def own_failures_as_evidence(reported: ReportedRevision, day: date) -> list[Piece]:
    """What all failures in the record say about beta and failure rates on a day; empty where there is nothing to say."""
    groups = [key for key in reported.scope.groups if reported.plant.groups[key].channels]
    history = FailureHistory(reported.assessment, reported.records.failures, groups, day)
    if not own_failures.says_something(history, groups):
        return []
    estimates = own_betas(history, groups)
    rates = own_rates(history, groups)
    betas = [own_failures.beta_row(estimate) for estimate in estimates if estimate.events]
    observed = [own_failures.rate_row(rate) for rate in rates if rate.observed is not None]
    return [
        *page_layout.lead(
            f"{own_failures.OPINION} This record holds the failures of {reported.scope.system} alone, up to {day.isoformat()}."
        ),
        *_chart(result_charts.own_betas(estimates, reported.names)),
        *_of_rows(betas, (0.9, 1.1, 1.0, 1.35, 1.2, 1.2, 2.2)),
        *_said(own_failures.without_failures(estimates)),
        *page_layout.small(f"{own_failures.COUNTED} {own_failures.PRIOR} Source: {PAIR_BETA.source}."),
        *page_layout.small("; ".join(PAIR_BETA.formula)),
        *_of_rows(observed, (0.9, 1.1, 0.8, 0.6, 0.8, 1.1, 1.1, 0.9, 1.7)),
        *_said(own_failures.unobserved(rates)),
        *page_layout.small(f"Source: {OBSERVED_RATES.source}. Valid for: {OBSERVED_RATES.valid}."),
        *page_layout.small("; ".join(OBSERVED_RATES.formula)),
        *_of_rows(own_failures.left_out(history, groups), (1.2, 1.6, 1.2, 5.0)),
    ]


def _chart(blocks: list[Block]) -> list[Piece]:
    return [*blocks, *page_layout.small(reading())] if blocks else []


def _said(text: str) -> list[Piece]:
    return page_layout.paragraph(text) if text else []


def _of_rows(rows: list[own_failures.Row], widths: tuple[float, ...]) -> list[Piece]:
    """A table whose heads are the keys of its rows; nothing without rows."""
    if not rows:
        return []
    return page_layout.table(tuple(rows[0]), [list(map(isolated, row.values())) for row in rows], widths=widths)


def _table(head: tuple[str, ...], rows: list[list[str]], widths: tuple[float, ...], without: str) -> list[Piece]:
    return page_layout.table(head, rows, widths=widths) if rows else page_layout.paragraph(without)


def _recorded(reported: ReportedRevision, cause: Cause) -> str:
    after = f"\nafter revision {reported.revision.number} was fixed" if cause.seq > reported.revision.cause.seq else ""
    return f"{cause.day} by {isolated(cause.by) or 'somebody'}, event {cause.seq}{after}"


def _changes(reported: ReportedRevision, since: int, *, security: bool) -> Iterator[list[str]]:
    for change in reported.records.changes:
        body = change.body
        if (
            change.cause.seq > since
            and reported.scope.system in body.systems
            and not change.of_failure
            and of_security_change(body) == security
        ):
            kind = kinds()[body.kind].name if body.kind in kinds() else body.kind
            dated = "\n".join(filter(None, (body.on, isolated(body.reference))))
            yield [dated, f"{body.what}\n{kind}", "\n".join(body.touched), _recorded(reported, change.cause)]


def _hidden(reported: ReportedRevision, since: int, *, security: bool) -> list[Piece]:
    """How many changes are of the security half, for readers of the safety report."""
    count = 0 if security else sum(1 for _ in _changes(reported, since, security=True))
    return page_layout.paragraph(f"{counted(count, 'security change')}, {IN_ANNEX}.") if count else []


def _failures(reported: ReportedRevision, since: int, *, security: bool) -> list[Piece]:
    found = [
        failed
        for failed in reported.records.failures
        if max(failed.cause.seq, failed.last) > since and reported.scope.system in failed.body.systems
    ]
    if security:
        rows = [
            [_dated(failed.body), "; ".join(failed.body.asks), failed.body.looked_at or "not recorded"]
            for failed in found
            if failed.body.asks or failed.body.looked_at
        ]
        checked = ("Found on, reference", "Why a security check is needed", "Security check made")
        return _table(checked, rows, (1.5, 3.4, 3.8), "No failure needs a security check.")
    rows = [
        [
            _dated(failed.body),
            "\n".join(_circumstances(failed.body)),
            "\n".join((f"Common-cause event: {COMMON_CAUSE[failed.body.is_event]}.", *failed.body.parts)),
            _recorded(reported, failed.cause),
        ]
        for failed in found
    ]
    head = ("Found on, reference", "Failure", "Verdict on common cause", "Recorded")
    return _table(head, rows, (1.5, 2.6, 2.9, 1.7), "No failure is recorded.")


def _dated(body: failure.Body) -> str:
    return "\n".join(filter(None, (body.on, isolated(body.reference))))


def _circumstances(body: failure.Body) -> Iterable[str]:
    yield f"{', '.join(body.groups)}: {', '.join(map(isolated, body.channels)) or NONE}"
    yield f"Found by: {FOUND_BY[body.found_by].lower()}"
    yield f"Cause: {body.cause or 'not explained yet'}"


def _sent_back(reported: ReportedRevision, since: int, *, security: bool) -> Iterator[list[str]]:
    """Comments on revisions before the reported one, whose own are under Status; of the security half in the annex only."""
    for revision in reported.records.revisions[reported.scope.system]:
        if not since < revision.cause.seq < reported.revision.cause.seq:
            continue
        for text, cause in revision.comments:
            of_security = cause.what.endswith("security half")
            if security and not of_security:
                continue
            shown = text if of_security == security else f"The comment is {IN_ANNEX}."
            half = "security" if of_security else "safety"
            yield [f"{revision.number}, {half}", shown, f"{cause.day}, {isolated(cause.by) or 'somebody'}"]
