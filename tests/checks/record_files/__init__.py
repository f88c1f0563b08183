"""Tests of record files."""
