"""Tests of the parts shared by all screens."""
