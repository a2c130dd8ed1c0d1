"""Where plans are kept: one SQLite file with every plan, its history and its flag numbers."""
