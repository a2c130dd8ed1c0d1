"""Elbowroom: plan a training room before any money is spent."""

__version__ = "0.1.0"
