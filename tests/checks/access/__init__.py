"""Tests of roles, the list of people and sign-ins."""
