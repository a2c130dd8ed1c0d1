"""What to do with one piece of a floor, in words that one reads with a tape in the hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from string import ascii_uppercase

from app.takeoff.floor_layout import Mat
from app.takeoff.lay_steps import LayStep, Notch, Side, Spot, Straight, shape_of
from app.units import Units
from app.wording import length_words

_HAIR_MM = 0.5
"""Two distances that differ by less are one."""

_ENDS: dict[Side, tuple[str, str]] = {
    "left": ("top", "bottom"),
    "right": ("top", "bottom"),
    "top": ("left", "right"),
    "bottom": ("left", "right"),
}


def cut_steps(step: LayStep, units: Units) -> tuple[str, ...]:
    """Return the cuts of a piece in their order, one sentence or two each."""
    return tuple(_cuts(step, units))


def _cuts(step: LayStep, units: Units) -> Iterator[str]:
    for cut in step.straight:
        yield _straight(cut, units)
    for notch in step.notches:
        yield _notch(notch, units)


def cut_rows(
    step: LayStep, units: Units
) -> tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]:
    """Return the cuts of a piece for the drawing beside them: a sentence, and a row for each mark.

    A row is the letter of the mark, as `marks_of` gives it, and how far it is from left and top.
    """
    rows: list[tuple[str, tuple[tuple[str, str, str], ...]]] = [
        (_straight(cut, units), ()) for cut in step.straight
    ]
    for letters, notch in marks_of(step):
        far = tuple(
            (letter, length_words(max(x, 0.0), units), length_words(max(y, 0.0), units))
            for letter, (x, y) in zip(letters, (*notch.spots, *(notch.slit or ())), strict=True)
        )
        told = [letter for letter, *_ in far]
        if notch.slit is None:
            rows.append((f"Cut out along the marks {', '.join(told)}.", far))
        else:
            slit = f"Open it by a slit from {told[-2]} to {told[-1]}."
            rows.append((f"Cut out the hole between {', '.join(told[:-2])}. {slit}", far))
    return tuple(rows)


def marks_of(step: LayStep) -> Iterator[tuple[tuple[str, ...], Notch]]:
    """Yield each notch of a piece with the letters of its marks, those of its slit last.

    They go on from notch to notch, A to Z and then A1 and so on.
    """
    count = 0
    for notch in step.notches:
        many = len(notch.spots) + len(notch.slit or ())
        yield tuple(_mark(count + one) for one in range(many)), notch
        count += many


def _mark(number: int) -> str:
    again, at = divmod(number, len(ascii_uppercase))
    return f"{ascii_uppercase[at]}{again or ''}"


def _straight(cut: Straight, units: Units) -> str:
    first, second = (length_words(mm, units) for mm in (cut.first_mm, cut.second_mm))
    edge = f"the {cut.measured} edge" if cut.factory else f"the {cut.measured} edge, itself cut"
    if abs(cut.first_mm - cut.second_mm) < _HAIR_MM:
        return f"{first} from {edge}, at both ends. Keep the {cut.keep} part."
    one, other = _ENDS[cut.measured]
    return (
        f"Askew: {first} from {edge} at the {one}, {second} at the {other}. "
        f"Keep the {cut.keep} part."
    )


def _notch(notch: Notch, units: Units) -> str:
    marks = "; ".join(_spot(spot, units) for spot in notch.spots)
    if notch.slit is None:
        return f"Cut out along these marks on the piece: {marks}."
    slit = "; ".join(_spot(spot, units) for spot in notch.slit)
    return f"Cut out the hole between these marks: {marks}. Open it by a slit: {slit}."


def _spot(spot: Spot, units: Units) -> str:
    x, y = (max(value, 0.0) for value in spot)
    return f"{length_words(x, units)} from its left, {length_words(y, units)} from its top"


def shape_words(mat: Mat, size_mm: tuple[float, float], units: Units) -> tuple[str, ...]:
    """Say what is to be cut of a piece beside its rectangle, by tape distances, for a cut list."""
    tapers, notches = shape_of(mat, size_mm)
    lines = []
    for cut in tapers:
        first, second = (length_words(mm, units) for mm in (cut.first_mm, cut.second_mm))
        one, other = _ENDS[cut.measured]
        lines.append(
            f"askew, off the {cut.measured} edge {first} at its {one}, {second} at its {other}"
        )
    for notch in notches:
        plain = _rectangle(notch, (mat.rect.width_mm, mat.rect.height_mm), units)
        if plain:
            lines.append(plain)
            continue
        spots = notch.spots[:-1] if notch.hole else notch.spots
        marks = "; ".join(
            f"{length_words(max(x, 0.0), units)}, {length_words(max(y, 0.0), units)}"
            for x, y in spots
        )
        name = "hole" if notch.hole else "taper" if _oblique(spots) else "notch"
        lines.append(f"{name} (off its left, off its top) {marks}")
    return tuple(lines)


def _oblique(spots: Sequence[tuple[float, float]]) -> bool:
    """Return whether a cut runs askew all along: a taper, on one edge of a piece or round two."""
    return all(
        abs(bx - ax) > _HAIR_MM and abs(by - ay) > _HAIR_MM
        for (ax, ay), (bx, by) in pairwise(spots)
    )


def _rectangle(notch: Notch, size_mm: tuple[float, float], units: Units) -> str:
    """Say a plain rectangle that is cut out of a piece of this size; "" where it is none."""
    (x0, x1), (y0, y1) = ((min(along), max(along)) for along in zip(*notch.spots, strict=True))
    steps = pairwise(notch.spots)
    square = all(abs(bx - ax) < _HAIR_MM or abs(by - ay) < _HAIR_MM for (ax, ay), (bx, by) in steps)
    at_corners = all(
        min(x - x0, x1 - x) < _HAIR_MM and min(y - y0, y1 - y) < _HAIR_MM for x, y in notch.spots
    )
    if not (square and at_corners):
        return ""
    wide, high = (length_words(mm, units) for mm in (x1 - x0, y1 - y0))
    off_left, off_top = (length_words(max(mm, 0.0), units) for mm in (x0, y0))
    if notch.hole:
        return f"hole {wide} × {high}, {off_left} off its left, {off_top} off its top"
    touched = {
        "left": x0 < _HAIR_MM,
        "right": x1 > size_mm[0] - _HAIR_MM,
        "top": y0 < _HAIR_MM,
        "bottom": y1 > size_mm[1] - _HAIR_MM,
    }
    sides = [side for side, is_touched in touched.items() if is_touched]
    if len(sides) == 1:
        off = (
            f"{off_top} off its top"
            if sides[0] in ("left", "right")
            else f"{off_left} off its left"
        )
        return f"notch {wide} × {high} out of its {sides[0]} edge, {off}"
    if len(sides) == 2 and not {"left", "right"} <= {*sides} and not {"top", "bottom"} <= {*sides}:
        return f"notch {wide} × {high} out of its {sides[1]} {sides[0]} corner"
    return ""


def place_words(step: LayStep, wall: str, units: Units) -> str:
    """Say where a piece lies: its left edge and its top edge from the start wall and its end."""
    deep = length_words(max(step.deep_mm, 0.0), units)
    if step.deep_mm < 0:
        deep = f"{length_words(-step.deep_mm, units)} beyond the line"
    side = "right" if step.left_mm >= 0 else "left"
    left = length_words(abs(step.left_mm), units)
    return f"Its left edge {left} to the {side} of the left end of {wall}, its top {deep} off it."


def source_words(step: LayStep, kind: str, units: Units) -> str:
    """Say what a piece is cut from: a new stock piece or the offcut of an earlier one."""
    wide, high = (length_words(mm, units) for mm in step.blank_mm)
    if not step.mat.cut:
        return f"A whole {kind}, as it comes."
    if step.offcut_of is None:
        return f"From a new {kind}, {wide} × {high}."
    ready = not (step.mat.down or step.straight or step.notches)
    as_it_is = ", as it is" if ready else ""
    return f"From the offcut of piece {step.offcut_of}{as_it_is}: {wide} × {high}."
