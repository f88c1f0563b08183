"""The plant at a glance."""
