"""Tests of the sections on spurious trips and architecture."""
