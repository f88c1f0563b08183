"""Uncertainty of a result: distributions of the inputs, points to evaluate it at, and what the sample of results says."""
