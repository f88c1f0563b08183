"""Estimates from recorded failures: impact vectors, alpha factors, beta of a pair, failure rates."""
