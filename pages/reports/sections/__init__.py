"""Sections of the reports."""
