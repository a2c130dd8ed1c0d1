"""Published values: every number that decides something, with its source and status."""
