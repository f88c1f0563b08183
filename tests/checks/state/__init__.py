"""Tests of the state."""
