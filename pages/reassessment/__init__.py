"""Re-assessment, and what is due and open."""
