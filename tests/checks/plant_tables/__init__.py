"""Tests of the plant as tables."""
