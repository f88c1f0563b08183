"""Tests of the beta methods."""
