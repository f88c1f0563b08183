"""Tests of the assessment."""
