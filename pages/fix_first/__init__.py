"""What to fix first: the set, what each answer and each change gains, efforts, allowed changes, the set made into actions."""
