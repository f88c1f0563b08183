"""Invariants of scoring/: each test's name is the sentence that must hold."""
