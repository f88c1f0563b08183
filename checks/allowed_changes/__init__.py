"""Changes of groups that somebody allows: test interval, coverage, voting; what fits the plant, and which fit together."""
