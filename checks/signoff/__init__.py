"""Revisions, signers, open points before signing, keys and signatures."""
