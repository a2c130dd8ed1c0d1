"""Tests of the fast core."""
