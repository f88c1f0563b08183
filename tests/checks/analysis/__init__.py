"""Tests of what follows from results."""
