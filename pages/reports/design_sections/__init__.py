"""Sections of the safety report on the design: spurious trips and architecture, beside what was signed."""
