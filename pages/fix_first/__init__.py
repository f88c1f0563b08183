"""What to fix first: the set, its results with their bands, what each answer and each change gains, efforts, allowed changes, the set made into actions."""
