"""Tests of the input of the timeline."""
