"""What leaves the program as a file."""
