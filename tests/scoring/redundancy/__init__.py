"""Redundancy methods."""
