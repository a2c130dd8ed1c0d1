"""Drawings: paper, neutral primitives, the desk figure, sheets true to scale, one SVG writer."""
