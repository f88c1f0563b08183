"""The caches that all browsers share."""
