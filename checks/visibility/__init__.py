"""What a reader may see of a state."""
