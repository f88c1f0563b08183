"""Answers to beta: one module a method and edition."""
