"""What several screens show of a change of plant data."""
