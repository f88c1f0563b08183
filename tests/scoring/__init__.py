"""Invariants of scoring/: the name of each test states the invariant."""
