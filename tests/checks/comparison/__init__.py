"""Tests of comparisons."""
