"""Sections of the security annex alone, from the reported revision to blocks of a page."""
