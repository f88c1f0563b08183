"""Text in and out: number format, the YAML subset, canonical JSON, faults of an input."""
