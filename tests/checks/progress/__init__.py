"""Tests of the progress of a session."""
