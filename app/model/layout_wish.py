"""What the household wishes of a layout: where a piece is to stand, or what it is to look to."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from app.model.base import Frozen, Id

Relation = Literal["faces", "near", "far", "at", "highest"]


class LayoutWish(Frozen):
    """One wish: a piece, what is wished of it, and what it looks to.

    `target` is the kind and id of a piece, wall or opening, such as "wall:left"; empty for what
    has none. A wish of what is no longer on the plan is kept and waits till it is there again.
    """

    id: Annotated[str, Field(min_length=1, max_length=200)]
    piece: Id
    relation: Relation
    target: Annotated[str, Field(max_length=100)] = ""
