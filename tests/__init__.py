"""Tests: published values in handbook/, invariants of the engineering in scoring/.

Linear algebra takes one core, as a test does: with more, processes beside each other wait for each other's cores. It is said
here, before anything imports numpy, which reads it once.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
