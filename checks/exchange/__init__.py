"""Lists and records that leave as files, and what comes back."""
