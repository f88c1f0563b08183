"""Tests of the list of methods."""
