"""Tests of revisions, signers and signatures."""
