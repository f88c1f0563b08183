"""Tests of the screens, each through app.py."""
