"""Unavailability of voted groups over time: every channel on its own clock, between the instants of its tests."""
