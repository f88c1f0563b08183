"""The safety report and the security annex, as PDF."""
