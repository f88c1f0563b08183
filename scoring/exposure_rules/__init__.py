"""Exposure to adjusted beta: one module a rule and edition. No standard gives such a rule; all are house rules."""
