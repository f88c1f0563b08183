"""Tests of the web server around the screens."""
