"""Changes, failures, what they reopen, and when an assessment is due again."""
