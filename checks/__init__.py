"""What is asked, what was answered, and what follows from it."""
