"""Open actions of a system: what is to be done about its answers, by whom and until when."""

from __future__ import annotations

from datetime import date

from checks.actions import action_rules
from checks.events.plant.action import Action
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import ReportedRevision, of_security


def actions_of_half(reported: ReportedRevision, day: date, *, security: bool) -> list[Piece]:
    """Open actions of one half, the oldest first. An action without an answer and a change appears in the annex only."""
    recorded = (action for action, _ in reported.records.actions.values())
    shown = [
        action for action in recorded if action.state not in action_rules.ENDED and _about_security(action) == security
    ]
    if not shown:
        return page_layout.paragraph("No open actions.")
    rows = [_row(action, day) for action in sorted(shown, key=lambda action: (action.raised_on, action.id))]
    head = ("Id", "Action, and interim measure", "Answers", "Action owner", "Due", "Days old")
    words = "A figure changes when an answer changes with evidence, never because an action is closed."
    return [
        *page_layout.paragraph(words),
        *page_layout.table(head, rows, widths=(0.7, 3.6, 2.2, 1.5, 1.2, 0.8), right=(5,)),
    ]


def _about_security(action: Action) -> bool:
    if action.plant_change is not None:
        return False
    return not action.questions or any(of_security(asked.question) for asked in action.questions)


def _row(action: Action, day: date) -> list[str]:
    what = f"{action.what}\nInterim: {action.interim}" if action.interim else action.what
    due = f"{action.due}\noverdue" if action_rules.overdue(action, day) else str(action.due)
    owner = f"{action.owner}\ndone, to be verified" if action.state == "done" else action.owner
    return [action.id, what, ", ".join(map(str, action.questions)), owner, due, str(action_rules.age(action, day))]
