"""The picture of the room as a sheet, and as a figure for a page."""

from __future__ import annotations

from app.drawing.composed import Subject, composed
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Words
from app.drawing.framed import Framed
from app.drawing.ink import LETTER_MM
from app.drawing.lowest import meets_at
from app.drawing.medium import Medium
from app.drawing.paper import PICTURE_SCALES
from app.drawing.picture import Picture, picture
from app.drawing.picture_names import name_lines
from app.drawing.picture_shell import square_mm
from app.drawing.picture_view import View
from app.drawing.primitives import Group
from app.drawing.section_words import verdict_words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import cautions_block, cover_block
from app.drawing.sheets.tightest import stands
from app.drawing.short_names import room_names
from app.drawing.svg import fragment
from app.drawing.too_high import missing_mm, too_high
from app.drawing.turned_box import turned_words
from app.library.movements import movements
from app.model.room_check import opening_name
from app.scene.build import Scene
from app.units import format_length
from app.wording import lower

SUBJECT = Subject("picture", "Picture")
PAGE_LETTER_SHARE = 1 / 52
"""Lettering on the page as a share of the picture's width: about 13 px of 700."""
PHONE_LETTER_TIMES = 1.65
"""How much larger the same picture is lettered for a phone, where it is half as wide: the style
sheet shows one of both letterings, and sets the larger one so."""
PHONE_FREE_LETTERS = 3
"""How many heights of that lettering a phone has free over and under the picture for names: among
names that are larger for what they tell, those of the far wall would lie on one another."""
SIDES = ("lower left", "upper left", "upper right", "lower right")
"""The corner of the plan that is nearest to the eye, by the number of the view."""


def picture_sheet(
    drawn: Picture,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Put the picture of a plan on paper, true to scale from left to right.

    Raises SheetError for a paper or scale that does not do.
    """

    def draw(_: Medium, at: int) -> Figure:
        return Figure(*drawn.lettered(LETTER_MM * at))

    def measure(_: Medium, at: int) -> Figure:
        return Figure((), drawn.reach(LETTER_MM * at))

    words = Block("Drawn", tuple(Words(line) for line in picture_words(drawn)))
    cautions = cover_block() if fields is not None and fields.cover else cautions_block()
    return composed(
        drawn.scene.plan, SUBJECT, [draw], [words, *_movements(drawn.scene), cautions],
        paper=paper, scale=scale, fields=fields, scales=PICTURE_SCALES, worded_first=True,
        measured=[measure],
    )  # fmt: skip


def _movements(scene: Scene) -> list[Block]:
    """Tell of every movement that is wanted how it goes here, the tightest first."""
    rows = []
    for one in stands(scene):
        verdict, tone = verdict_words(one.bay, scene.plan.units)
        who = scene.plan.called(one.bay.person.id)
        # the figures are told to be too high: here it is the room that is too low
        how = f"the room is {verdict}" if one.bay.hits else verdict
        words = f"{who}, {lower(one.bay.movement.name)}: {how}"
        rows.append(Words(words, "small" if tone == "ok" else f"dimt-{tone}"))
    return [Block("At the top of each movement, at its kit", tuple(rows))] if rows else []


def picture_figure(scene: Scene, corner: int = 0) -> tuple[Framed, Picture]:
    """Draw the picture for a page, inks as classes of its style sheet; and what it was drawn of.

    Its names are in it twice, for a desk and larger for a phone: the style sheet shows one of both.
    """
    drawn = picture(scene, View(corner))
    letter = (drawn.bounds[2] - drawn.bounds[0]) * PAGE_LETTER_SHARE
    items, (x0, y0, x1, y1) = drawn.lettered(letter)
    larger = letter * PHONE_LETTER_TIMES
    free = larger * PHONE_FREE_LETTERS
    on_phone = drawn.names.lettered((x0, y0 - free, x1, y1 + free), larger)
    items = (*items, Group(on_phone, "picture-phone"))
    left, top, wide, high = x0 - letter, y0 - letter, x1 - x0 + 2 * letter, y1 - y0 + 2 * letter
    box = f"{left:.0f} {top:.0f} {wide:.0f} {high:.0f}"
    attributes = {
        "viewBox": box,
        "class": "room-picture",
        "role": "img",
        "aria-label": ". ".join(picture_words(drawn)),
        "font-size": f"{letter:.0f}",
        "preserveAspectRatio": "xMidYMid meet",
    }
    return Framed(fragment(items, attributes, digits=0), box), drawn


def picture_words(drawn: Picture) -> tuple[str, ...]:
    """Say what a picture shows: from where, who does what, what is cut and what a ghost."""
    units = drawn.scene.plan.units
    words = [f"Seen over the {SIDES[drawn.view.corner % len(SIDES)]} corner of the plan"]
    for figure in drawn.figures:
        bay = figure.bay
        name = movements()[bay.movement.key].name
        if figure.too_high_mm:
            high = format_length(figure.too_high_mm, units)
            where = "what is too high in red"
            if meets_at(bay) is not None:
                # the head is free in the middle of the movement: red is the place where it is not
                where = (
                    "where the ceiling is lower than it takes: pale, with what is too high in red"
                )
            words.append(f"{figure.name}, {name}: {high} too high, {where}")
        else:
            how = "passes without the margin" if bay.short else "fits"
            words.append(f"{figure.name}, {name}: {how}")
        if turned := turned_words(bay, units):
            words.append(turned)
    over = too_high(drawn.scene)
    for placed in drawn.scene.order:
        if placed.piece.id in over:
            high = format_length(missing_mm(placed, over[placed.piece.id]), units)
            words.append(f"{placed.name}: {high} higher than the room there, in red")
        if placed.kit.bar is None and any(one.uses_instead(placed) for one in drawn.figures):
            words.append(f"{placed.name} pulled out of the way, not drawn")
    room = drawn.scene.room
    names = [placed.name for placed in drawn.scene.order]
    names += [opening_name(one.opening) for one in room.openings if one.opening.label]
    for name in dict.fromkeys([*names, *room_names(room)]):
        short = " ".join(name_lines(name))
        if short != " ".join(name.split()):
            words.append(f"{short} is {name}")
    net = format_length(square_mm(units), units)
    words.append(f"Squares of the floor {net}; walls cut low; what hangs overhead is dashed")
    words.append(f"True from left to right; heights are drawn at {drawn.view.height_share:.2f}")
    return tuple(words)
