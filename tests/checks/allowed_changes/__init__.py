"""Changes of groups that somebody allows."""
