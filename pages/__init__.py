"""What a person sees: screens and printed lists. A screen asks, calls, shows; it computes nothing."""
