"""Tests of the plant file."""
