"""The plant file: its fields, how it is read and written, what must fit together, what a wrong one is told."""
