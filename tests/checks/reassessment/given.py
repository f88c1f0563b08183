"""The demo plant, and changes and failures for it."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

from checks.assessment.answers import Answers
from checks.plantfile import plant_file
from checks.plantfile.plant import Plant
from checks.reassessment.failures import FailureRecord
from checks.reassessment.reopening import Change, Reopened, reopened
from tests.checks.given import ROOT


@cache
def demo() -> Plant:
    """The demo plant with its answers."""
    return plant_file.from_text("demo", (ROOT / "demo" / "quillmarch.yaml").read_text(encoding="utf-8"))


def change(kind: str, *touched: str, **options: Any) -> Change:
    """A change of this kind that touches these addressees."""
    return Change(kind, frozenset(touched), **options)


def of_demo(kind: str, *touched: str, **options: Any) -> Reopened:
    """Answers of the demo plant that such a change reopens."""
    return reopened(change(kind, *touched, **options), demo(), Answers(demo().answers))


def by_addressee(answers: Reopened) -> dict[str, set[str]]:
    """Questions of each addressee."""
    questions: dict[str, set[str]] = {}
    for question, of in answers:
        questions.setdefault(of, set()).add(question)
    return questions


def failure(**fields: Any) -> FailureRecord:
    """A failure of both hydrogen valves of the demo plant at their proof test, with other fields if given."""
    usual: dict[str, Any] = {
        "on": date(2024, 11, 6),
        "reference": "FR-24-019",
        "groups": ("esv-301",),
        "channels": ("ESV-301A", "ESV-301B"),
        "found_by": "proof-test",
        "cause": "Water in the instrument air; the dryer was bypassed for five weeks and one header feeds both valves.",
        "cause_explained": True,
        "cause_topics": frozenset({"T9", "T11"}),
        "period_h": 0.0,
        "coupling_named": True,
        "inside_boundary": True,
        "software_involved": False,
    }
    return FailureRecord(**{**usual, **fields})


def mismatch(**fields: Any) -> FailureRecord:
    """FR-24-003 of the demo: closed as a card fault, but no finding shows it."""
    usual: dict[str, Any] = {
        "on": date(2024, 2, 11),
        "reference": "FR-24-003",
        "groups": ("ls-sis",),
        "channels": ("LS-1B",),
        "found_by": "unwanted-trip",
        "cause": "Card replaced; no records taken from the logic solver.",
        "cause_explained": False,
        "cause_topics": frozenset(),
        "period_h": None,
        "coupling_named": None,
        "inside_boundary": None,
        "software_involved": None,
    }
    return failure(**{**usual, **fields})


SINGLE: dict[str, Any] = {"channels": ("ESV-301A",), "others_checked": True, "coupling_named": None}
"""What makes the failure one of a single channel, with the others looked at."""
