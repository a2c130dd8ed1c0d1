"""What is done at a kit type: the schema of the `uses` of its row."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from app.library.anchors import Anchor, Extent, place
from app.model.base import Frozen, Id, Length
from app.published.register import published


class Use(Frozen):
    """A movement done at this piece, in its own frame.

    `at` is where the middle of the person (or of the bar) is. The movement's own area and parts
    are in the movements' rows. `inside` tells that the piece's own rails and crossmembers hang
    over this place. `base` is the height of what the person stands, sits or hangs on, in anchors
    (for a pull-up, of the bar); where it is the usual height of such kit it is a row of the
    register, `base_key`. `head` is where the middle of the head rises, if that is not at `at`:
    beside a bar, on the side on which the body hangs. `nose` names the row of how much of the
    piece, from its back edge, is machine alone: the head does not come over that.
    """

    movement: Id
    at: tuple[Anchor, Anchor]
    head: tuple[Anchor, Anchor] | None = None
    base: Anchor = "0"
    base_key: str | None = None
    nose: str | None = None
    nose_mm: Length = 0
    inside: bool = False
    needs: tuple[Literal["bar", "bench"], ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _from_the_register(cls, data: dict[str, Any]) -> dict[str, Any]:
        """Read a base and a nose that name rows of the register."""
        base, nose = data.get("base", ""), data.get("nose")
        key = base if base.endswith("-mm") else data.get("base_key")
        read: dict[str, Any] = {"base": f"{published(key):g}", "base_key": key} if key else {}
        return data | read | ({"nose_mm": published(nose)} if nose else {})

    def ahead_mm(self, extent: Extent) -> float | None:
        """Return how far ahead of `at` the head comes at most on a piece of this size, in mm.

        None where the movement alone tells. Over `at` itself is the head in any case.
        """
        if self.nose is None:
            return None
        nose_end = self.nose_mm - extent.depth_mm / 2
        return max(place(self.at[1], extent) - nose_end, 0.0)
