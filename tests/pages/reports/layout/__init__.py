"""Tests of the layout of a page."""
