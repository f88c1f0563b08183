"""Spurious trips: how often a group trips without a demand, by each convention, independent and by common cause."""
