"""Tests of the Plant screen."""
