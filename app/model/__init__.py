"""The plan as a person gives it: frozen, validated, changed only by commands."""
