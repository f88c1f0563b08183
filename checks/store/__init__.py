"""The answers and plants in a database. The only writer; answers are appended, never overwritten."""
