"""Tests of changes, failures and due dates."""
