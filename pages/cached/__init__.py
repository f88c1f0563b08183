"""The store and the results computed from it, shared by all browsers. No other folder uses Streamlit's caches; none of it knows a session."""
