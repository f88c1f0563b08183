"""Tests of the screens of results."""
