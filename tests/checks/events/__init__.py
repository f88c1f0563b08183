"""Tests of the kinds of events."""
