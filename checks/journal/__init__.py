"""The journal of events and its database, the only writer."""
