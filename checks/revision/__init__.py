"""What a revision holds: the basis of one safety system, and its results."""
