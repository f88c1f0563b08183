"""Tests of what is kept about an assessment: actions and their rules."""
