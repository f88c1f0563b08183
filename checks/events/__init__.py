"""Kinds of events, one module each: typed body, permission, systems concerned, what it invalidates."""
