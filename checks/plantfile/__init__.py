"""The plant file: model, reading and writing, consistency checks, messages for invalid files."""
