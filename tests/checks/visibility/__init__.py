"""Tests of what a reader may see."""
