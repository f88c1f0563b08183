"""Exposure rules."""
