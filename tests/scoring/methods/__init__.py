"""Tests of the registry of methods."""
