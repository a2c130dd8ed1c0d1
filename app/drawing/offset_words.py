"""What of the chained offsets of kit finds no room in a plan, told in words beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.drawing.flow import Block, Words
from app.drawing.kit_offsets import Stretch, askew, too_many
from app.scene.build import Scene
from app.units import Units, format_short

_MOST_TOLD = 40
"""More than so many figures in words nobody compares with a plan: the setting out has them all."""


def offset_words(
    scene: Scene, missing: Sequence[Stretch], numbers: Mapping[str, int]
) -> tuple[Block, ...]:
    """Tell the offsets that a plan leaves out, and whose are not chained at all.

    `numbers` are those of the pieces in the plan.
    """
    units = scene.plan.units
    if too_many(scene):
        return (Block("", (Words("Offsets of kit: on the sheet Setting out."),)),)
    rows = []
    columns = {column.id: column.label for column, _ in scene.room.columns}
    for way, across in (("Across the sheet", True), ("Down the sheet", False)):
        some = [one for one in missing if one.across is across]
        if some and len(missing) <= _MOST_TOLD:
            each = (_words(one, numbers, columns, units) for one in some)
            rows.append(Words(f"{way}, {'; '.join(each)}."))
    if len(missing) > _MOST_TOLD:
        rows.append(Words(f"{len(missing)} more: on the sheet Setting out."))
    turned = sorted(numbers[piece] for piece in askew(scene) if piece in numbers)
    if turned:
        each_number = ", ".join(map(str, turned))
        rows.append(Words(f"Askew, by their corners on the sheet Setting out: {each_number}."))
    return (Block("Free, and no room for a figure", tuple(rows)),) if rows else ()


def _words(
    one: Stretch, numbers: Mapping[str, int], columns: Mapping[str, str], units: Units
) -> str:
    ends = [
        "wall"
        if not name
        else f"piece {numbers[name]}"
        if name in numbers
        else columns.get(name, "kit")
        for name in (one.before, one.after)
    ]
    return f"{ends[0]} to {ends[1]}: {format_short(one.long_mm, units)}"
