"""Colours, texts and table rows shared by screens and reports."""
