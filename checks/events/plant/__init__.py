"""Events of the plant and its upkeep: plant data, changes, failures, assessments, actions."""
