"""The web server around the screens: run mode, identity, origin checks, security headers."""
