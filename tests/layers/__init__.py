"""Tests of imports between layers and folders."""
