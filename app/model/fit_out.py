"""What is done to the room itself: floor, paint, light, mirrors."""

from __future__ import annotations

from app.model.base import Frozen


class FitOut(Frozen):
    """All that is to be laid, painted and hung; empty until somebody chooses."""
