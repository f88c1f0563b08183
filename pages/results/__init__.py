"""What follows from the answers."""
