"""The screen of the papers of a session."""
