"""Tests of what every screen uses."""
