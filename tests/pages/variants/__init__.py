"""Tests of the What if screen."""
