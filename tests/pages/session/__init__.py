"""Tests of the two sessions."""
