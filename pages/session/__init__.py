"""The sessions in which a team answers."""
