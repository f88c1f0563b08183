"""Tests of the charts on screens."""
