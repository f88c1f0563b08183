"""Tests of the reach of a compromise."""
