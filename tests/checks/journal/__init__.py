"""Tests of the journal and its database."""
