"""Tests of texts and rows shared by screens and reports."""
