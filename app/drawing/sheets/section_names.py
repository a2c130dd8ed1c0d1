"""What columns and chimney breasts of a section are called, where their words hide least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Item, Text
from app.drawing.sheets.section_heights import on_ground
from app.drawing.sheets.section_room import ColumnBeyond, CutColumn
from app.drawing.sheets.wall_leaders import drawn, led_to
from app.drawing.short_names import short_name

_AIR_EM = 0.3
_HIGH_EM = 1.25
_UP = (0.5, 0.62, 0.75, 0.38, 0.25, 0.86)
"""How high up a column its name is tried, as shares of its height."""
_BESIDE_COST = 0.6
_LED_COST = 2.0
_ASIDE = (0, -1, 1, -1.5, 1.5, -2, 2, -3, 3, -4, 4)
_FARTHER_EM = (0.0, 1.2, 2.6, 4.0, 5.4, 7.0)
"""How much farther aside, in its own widths, and under a beam, in sizes of the lettering, its name
may stand, and what it costs that a line leads there."""
_DOWN = (0.12, 0.3, 0.5)
"""How high up a mirror its name is tried: at its foot first, where nobody stands before it."""
_MIDDLE_EM = 0.36
"""How far the middle of a letter lies over its foot."""


def column_names(
    through: Sequence[tuple[CutColumn, BaseGeometry]],
    behind: Sequence[ColumnBeyond],
    opened: BaseGeometry,
    taken: Sequence[BaseGeometry],
    medium: Medium,
) -> Iterator[Item]:
    """Letter the columns of a section upright, in those that are seen and beside those cut.

    `opened` is what one looks into through the cut, `taken` what the words keep off there.
    """
    em = medium.em_mm
    crowd = Crowd([], shapely.transform(opened, lambda xy: xy * (1, -1)))
    for area in taken:
        crowd.take(shapely.box(*area.buffer(em * _AIR_EM).bounds))
    for column, area, is_cut in (
        *((one.column, area, True) for one, area in through),
        *((one.column, one.area, False) for one in behind),
    ):
        x0, z0, x1, z1 = area.bounds
        words = short_name(column.label) or "Column"
        wide, high = em * _HIGH_EM, width_of(words, em)
        off = wide / 2 + em * _AIR_EM
        places = [((x0 + x1) / 2, 0.0), *((x, _BESIDE_COST) for x in (x1 + off, x0 - off))]
        spots = [
            Spot((x, -(z0 + (z1 - z0) * up)), cost + abs(up - _UP[0]))
            for x, cost in places
            for up in _UP
        ]
        x, y = crowd.place(wide, high, spots)
        name = Text((x + em * _MIDDLE_EM, y), words, "dimt", "middle", -90.0)
        # in what is cut its hatching would run between the letters
        yield from on_ground([name], em) if is_cut and x0 < x < x1 else [name]


def area_names(
    named: Sequence[tuple[str, BaseGeometry]],
    opened: BaseGeometry,
    taken: Sequence[BaseGeometry],
    medium: Medium,
) -> Iterator[Item]:
    """Letter mirrors, beams and pipes of a section level, in them or beside, z up.

    What finds no room beside it stands farther under it, led to it by a line.
    """
    em = medium.em_mm
    crowd = Crowd([], shapely.transform(opened, lambda xy: xy * (1, -1)))
    for area in taken:
        crowd.take(shapely.box(*area.buffer(em * _AIR_EM).bounds))
    for words, area in named:
        x0, z0, x1, z1 = area.bounds
        wide, high = width_of(words, em) + em * _AIR_EM, em * _HIGH_EM
        spots = []
        if x1 - x0 > wide and z1 - z0 > high:
            spots += [
                Spot((x0 + (x1 - x0) * across, -(z0 + (z1 - z0) * up)), abs(across - _UP[0]))
                for across in _UP
                for up in _DOWN
            ]
        under = -z0 + high / 2 + em * _AIR_EM
        beside = wide / 2 + em * _AIR_EM
        spots += [
            Spot(at, cost + _BESIDE_COST)
            for at, cost in (
                (((x0 + x1) / 2, under), 0.0),
                ((x0 - beside, -(z0 + z1) / 2), 0.1),
                ((x1 + beside, -(z0 + z1) / 2), 0.1),
            )
        ]
        # farther off it is led there by a line
        spots += [
            Spot(((x0 + x1) / 2 + aside * beside, under + em * out), _LED_COST + out + abs(aside))
            for out in _FARTHER_EM
            for aside in _ASIDE
        ]
        spots = [one for one in spots if not crowd.meets(around(one.at, wide, high))] or spots
        x, y = crowd.place(wide, high, spots)
        face = shapely.transform(area, lambda xy: xy * (1, -1))
        way = led_to(around((x, y), wide, em), face, em)
        if way is not None:
            yield from drawn(way, em)
        crowd.take(shapely.box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))
        yield Text((x, y + em * _MIDDLE_EM), words, "dimt")
