"""Estimates from recorded failures."""
