"""Tests of the charts of the reports."""
