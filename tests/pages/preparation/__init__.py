"""Tests of the screen of the session papers."""
