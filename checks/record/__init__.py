"""Revisions, sign-off, and what reopens what."""
