"""Actions that are under way for a system: what is to be done about its answers, by whom and until when."""

from __future__ import annotations

from datetime import date

from checks.actions import actions
from checks.events.plant.action import Action
from pages.reports.layout import page_layout
from pages.reports.layout.page_layout import Piece
from pages.reports.sections.reported_revision import Fixed, of_security


def under_way(now: Fixed, day: date, *, security: bool) -> list[Piece]:
    """Actions of one half that have not ended, the oldest first; one that names no answer stands in the annex alone."""
    every = (action for action, _ in now.records.actions.values())
    held = [one for one in every if one.state not in actions.ENDED and _of_security(one) == security]
    if not held:
        return page_layout.paragraph("None is under way.")
    rows = [_row(one, day) for one in sorted(held, key=lambda one: (one.raised_on, one.id))]
    head = ("Id", "What is to be done, and meanwhile", "Answers", "Owner", "Due", "Days old")
    words = "A figure moves when an answer changes with evidence, never when an action is closed."
    return [
        *page_layout.paragraph(words),
        *page_layout.table(head, rows, widths=(0.7, 3.6, 2.2, 1.5, 1.2, 0.8), right=(5,)),
    ]


def _of_security(one: Action) -> bool:
    return not one.questions or any(of_security(asked.question) for asked in one.questions)


def _row(one: Action, day: date) -> list[str]:
    what = f"{one.what}\nMeanwhile: {one.interim}" if one.interim else one.what
    due = f"{one.due}\noverdue" if actions.overdue(one, day) else str(one.due)
    owner = f"{one.owner}\ndone, to be verified" if one.state == "done" else one.owner
    return [one.id, what, ", ".join(map(str, one.questions)), owner, due, str(actions.age(one, day))]
