"""The sheets of the set beside the plan: each one subject."""
