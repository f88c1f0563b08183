"""What the papers of a session contain: question sheets, evidence to bring, minutes."""
