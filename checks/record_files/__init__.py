"""A revision with its journal as one file: export, verification, commands."""
