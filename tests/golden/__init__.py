"""Files of earlier releases, unchanged: records, a database, a plant file and its figures.

Each release adds its own folder with ``python -m tests.golden.write N`` and never changes an existing one. A signed
record outlives the code that wrote it: it opens, verifies and prints its own figures in every later release.
"""
