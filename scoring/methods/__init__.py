"""Registry of calculation methods."""
