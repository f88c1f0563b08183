"""A revision with its journal as one file: export, verification, the commands for it."""
