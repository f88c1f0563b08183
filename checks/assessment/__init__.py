"""Assessment: from answers to the results of groups, safety functions and zones."""
