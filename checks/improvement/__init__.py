"""What to fix first: answers to improve, their gain, and the cheapest set of them that meets the targets."""
