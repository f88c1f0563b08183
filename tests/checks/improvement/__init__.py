"""Tests of what to fix first."""
