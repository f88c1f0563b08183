"""Comparison of two states of a plant."""
