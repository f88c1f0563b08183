"""Tests of lists that leave as files and come back."""
