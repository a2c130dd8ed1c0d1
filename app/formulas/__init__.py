"""Pure functions with their source: body measures and headroom."""
