"""The screens Re-assessment and Due and open."""
