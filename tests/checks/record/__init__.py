"""Tests of checks/record/: what differs between two states of a plant, and what it did to the results."""
