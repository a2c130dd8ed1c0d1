"""Mutants: small changes to the program that a test should notice (see `tests.mutants`)."""
