"""Tests that drive a real browser against the real program."""
