"""Roles and what they may do, names, the list of people, sign-ins."""
