"""The Sign-off screen and its parts."""
