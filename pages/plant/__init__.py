"""The Plant screen."""
