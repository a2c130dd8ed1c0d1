"""Quantities from the plan: what to buy, how to cut it, and how each number came about."""
