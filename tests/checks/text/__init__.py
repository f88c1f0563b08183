"""Tests of files, YAML text and figures as text."""
