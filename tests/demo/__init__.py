"""The demo plant and its history."""
