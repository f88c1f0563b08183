"""Tests of actions and their list."""
