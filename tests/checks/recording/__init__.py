"""Tests of recording."""
