"""Shared by all screens: frame, messages, forms, session state."""
