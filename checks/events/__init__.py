"""Every kind of event in a module of its own: its typed body, who may do it, whom it concerns, what it invalidates."""
