"""Tests of the spurious trip rate."""
