"""Guests of the home network: their application, their server, their limits."""
