"""Tests of who may import whom."""
