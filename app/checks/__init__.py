"""What is wrong with a scene: one subject a file, each yields snags, `run` gathers and sorts."""
