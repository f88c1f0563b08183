"""Colours, words and rows that are the same on screens and in reports."""
