"""Tests of the sections of the reports."""
