"""Sign-off and re-assessment."""
