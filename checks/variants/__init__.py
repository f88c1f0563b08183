"""Variants of one safety function: what if it were built, voted, tested or placed otherwise."""
