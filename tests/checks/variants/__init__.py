"""Tests of variants."""
