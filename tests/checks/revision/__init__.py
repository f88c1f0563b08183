"""Tests of revisions."""
