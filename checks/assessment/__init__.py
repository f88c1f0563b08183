"""From answers to results: groups, functions and zones."""
