"""Files within bounds, number format, the YAML subset of plant files, canonical JSON, faults of an input."""
