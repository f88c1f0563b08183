"""Revisions, who may sign them and what is open before, keys and signatures."""
