"""Exposure rules, one module for each rule and edition. No standard gives such a rule: all are house rules."""
