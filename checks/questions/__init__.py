"""The question banks."""
