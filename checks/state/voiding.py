"""What voids the signatures of a revision: which part of an answer counts, and which kinds of events beside it."""

from __future__ import annotations

TOLD = ("value", "evidence", "note")
"""What of an answer counts: another author or day alone changes no result."""
VOIDS = {
    "evidence": "evidence was added to {question} of {of}",
    "evidence-withdrawn": "evidence of {question} of {of} no longer holds",
    "dissent": "a dissent on {question} of {of}",
    "dissent-closed": "the dissent on {question} of {of} was settled",
}
"""Kinds that change how an answer speaks, and what to say of it."""
