"""Tests of the contents of session papers."""
