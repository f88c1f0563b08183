"""What a reader may see of the state."""
