"""What every screen uses: its frame, messages, forms, session state, caches."""
