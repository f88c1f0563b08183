"""What earlier releases wrote, kept as they wrote it: records, a database, a plant file and its figures.

Each release adds a folder of its own with ``python -m tests.golden.write N`` and never changes one that is there. A signed
record outlives the code that wrote it: it opens, verifies and prints its own figures for ever.
"""
