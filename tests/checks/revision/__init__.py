"""Tests of what a revision holds."""
