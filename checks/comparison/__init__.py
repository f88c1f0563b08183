"""Two states of a plant side by side."""
