"""Tests of checks/record/: what a change or a failure reopens, and when an assessment is due again."""
