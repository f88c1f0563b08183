"""Tests of the Sign-off screen."""
