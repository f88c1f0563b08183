"""Tests of what a person records."""
