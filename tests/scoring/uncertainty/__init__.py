"""Tests of the uncertainty calculation."""
