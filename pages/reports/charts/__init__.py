"""Charts of the reports."""
