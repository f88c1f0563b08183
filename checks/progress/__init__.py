"""Progress of a session: what is still open, and what to ask next."""
