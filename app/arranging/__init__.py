"""Arrange it for me: searches over whole layouts, the score they are compared by, what fits."""
