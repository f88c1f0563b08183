"""What if: variants of one safety function side by side."""
