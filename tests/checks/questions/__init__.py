"""Tests of the question banks."""
