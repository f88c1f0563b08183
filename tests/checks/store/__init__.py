"""Tests of what is stored and of what follows from it: the store, the live state, answering, decisive, curves."""
