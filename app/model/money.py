"""Prices, tax, what is owned already and what may be spent; sums in minor units of one currency."""

from __future__ import annotations

from app.model.base import Frozen


class Money(Frozen):
    """The household's money side of a plan."""
