"""Tests that do what a person does, in a real browser against a real server."""
