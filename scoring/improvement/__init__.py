"""Which actions to take first: states of groups as tables, and the cheapest set of actions as a mixed-integer programme."""
