"""What happened after the assessment: changes, failures, and when it is looked at again."""
