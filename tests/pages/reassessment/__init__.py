"""Tests of the screens of re-assessment."""
