"""Tests in a real browser against a real server."""
