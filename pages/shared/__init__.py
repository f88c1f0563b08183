"""What every screen uses."""
