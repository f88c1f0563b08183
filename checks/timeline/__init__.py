"""From plant data to channels on their own clocks: the input of the timeline."""
