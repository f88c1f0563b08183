"""Every calculation method that the program knows."""
