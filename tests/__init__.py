"""Tests, laid out like ``app``."""
