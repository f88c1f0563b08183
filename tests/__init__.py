"""Tests: published values in handbook/, invariants of the engineering in scoring/."""
