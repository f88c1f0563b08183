"""Tests of the cheapest set of actions."""
