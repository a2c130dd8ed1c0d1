"""What a solved walk says of its tape, wall by wall and corner by corner, in words."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.formulas.survey import Turn, turn_deg
from app.formulas.survey_checks import TOO_FAR_ERRORS
from app.model.room_walls import letter_at
from app.model.walk_solve import Askew, Solved, askew, headings, listed
from app.published.register import published
from app.units import Units, format_length

_ALONG_DEG = 20.0
_ROUND_MM = 0.5


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the report: what it is about, what was taped, what fits best, a sentence.

    `tone` is `ok`, `care` where the tape disagrees, `open` where nothing checks it.
    """

    name: str
    taped: str
    fitted: str
    sentence: str
    tone: str


@dataclass(frozen=True, slots=True)
class Report:
    """The whole report. `again` names what to measure again, `next_tape` what would help.

    With `gapes` the end misses the start by more than tapes are wrong by, or corners come out
    otherwise than a word means. `doubted` are the numbers of the lengths that would explain that.
    """

    closing: str
    again: str
    next_tape: str
    walls: tuple[Line, ...]
    diagonals: tuple[Line, ...]
    corners: tuple[Line, ...]
    gapes: bool
    doubted: frozenset[int]

    @property
    def doubts(self) -> str:
        """What speaks against using the outline as it is, nothing where nothing does."""
        return " ".join(each for each in (self.again, self.closing if self.gapes else "") if each)


def report(solved: Solved, units: Units) -> Report:
    """Return what the tape of a walk is worth."""
    off = askew(solved)
    doubted = frozenset(i for i, _ in off.would_be) if off and off.far else frozenset()
    return Report(
        _closing(solved, off, units),
        _again(solved, units),
        _next_tape(solved, off),
        tuple(
            _length(solved, i, f"Wall {letter_at(i)}", units, doubted)
            for i in range(_count(solved))
        ),
        tuple(
            _length(solved, 2 * _count(solved) + i, f"{d.start} to {d.end}", units, doubted)
            for i, d in enumerate(solved.walk.diagonals)
        ),
        _corners(solved, units),
        _gapes(solved) or bool(off and off.far),
        doubted,
    )


def _count(solved: Solved) -> int:
    return len(solved.walk.steps)


def _closing(solved: Solved, off: Askew | None, units: Units) -> str:
    raw = solved.raw
    if raw.linear < _ROUND_MM:
        sentence = "If every corner is as you said, the last wall meets the start."
    else:
        away, walked = (format_length(mm, units) for mm in (raw.linear, raw.linear * raw.one_in))
        sentence = (
            f"If every corner were as you said, the last wall would miss the start by {away} "
            f"after {walked} of walls."
        )
        if _gapes(solved):
            along = _along_the_gap(solved)
            if along:
                sentence += (
                    f" An error on wall {' or '.join(along)} would explain it, or corners that are"
                )
                sentence += " out of square: a diagonal tells which."
    return f"{sentence} {_askew_words(solved, off, units)}" if off else sentence


def _askew_words(solved: Solved, off: Askew, units: Units) -> str:
    """Say how far the lengths turn a corner from what was said, and what would explain it."""
    straight = any(step.turn == "straight" for step in solved.walk.steps)
    as_said = "as you said" if straight else "square"
    out = "off what you said" if straight else "out of square"
    sentence = f"By these lengths corner {off.corner + 1} comes out {off.off_deg:.1f}° {out}."
    if not off.would_be:
        return f"{sentence} If it is {as_said}, some of them are wrong." if off.far else sentence
    explained = " or ".join(
        f"{_name(solved, i)} is {format_length(mm, units)}, not "
        f"{format_length(_taped(solved, i), units)}"
        for i, mm in off.would_be
    )
    sentence += f" If its corners are {as_said}, {explained}"
    return f"{sentence}: measure it again." if off.far else f"{sentence}."


def _gapes(solved: Solved) -> bool:
    limit = TOO_FAR_ERRORS * published("survey.tape-wall-mm")
    return bool(_held_by_words(solved)) and solved.raw.linear > limit * _count(solved) ** 0.5


def _along_the_gap(solved: Solved) -> list[str]:
    """Name the walls that run the way the end misses the start."""
    raw = solved.raw
    walls = []
    for i, heading in enumerate(headings(solved.walk)):
        # a leg of the traverse runs north by the cosine of its bearing and east by its sine
        angle = math.radians(heading)
        across = raw.north * math.sin(angle) - raw.east * math.cos(angle)
        if abs(across) < raw.linear * math.sin(math.radians(_ALONG_DEG)):
            walls.append(letter_at(i))
    return walls


def _name(solved: Solved, index: int) -> str:
    diagonal = solved.diagonal_at(index)
    if diagonal is None:
        return f"wall {letter_at(index)}"
    ends = solved.walk.diagonals[diagonal]
    return f"the diagonal from corner {ends.start} to {ends.end}"


def _again(solved: Solved, units: Units) -> str:
    disagreement = solved.disagree
    if disagreement is None:
        return ""
    by = format_length(disagreement.by_mm, units)
    names = [_name(solved, i) for i in disagreement.suspects]
    first = names[0][0].upper() + names[0][1:]
    if len(names) == 1:
        return f"{first} disagrees with all the rest by {by}: measure it again."
    if len(names) == 2:
        return f"{first} and {names[1]} disagree by {by}: measure both again."
    return f"One of these does not agree with the others: {listed(names)}; measure them again."


def _held_by_words(solved: Solved) -> list[int]:
    """Return the numbers of the corners that only a word holds, counted from 1."""
    return [
        seen.at + 1
        for i, seen in enumerate(solved.observations)
        if isinstance(seen, Turn) and solved.adjustment.used[i]
    ]


def _next_tape(solved: Solved, off: Askew | None) -> str:
    held = _held_by_words(solved)
    if not held and off and off.far:
        return _checking_tape(solved, off)
    if not held:
        return "The lengths fix every corner: no more need be measured."
    count = _count(solved)
    taped = {frozenset((d.start, d.end)) for d in solved.walk.diagonals}
    for corner in held:
        before, after = (corner - 2) % count + 1, corner % count + 1
        if count > 3 and frozenset((before, after)) not in taped:
            rest = ""
            if len(held) > 1:
                others = listed([str(c) for c in held if c != corner])
                rest = f" The same goes for corner{'s' if len(held) > 2 else ''} {others}; one "
                rest += "diagonal often fixes them all."
            return (
                f"Nothing measured fixes corner {corner} yet: measure from corner {before} to "
                f"corner {after}.{rest}"
            )
    names = listed([str(c) for c in held])
    return (
        f"Nothing taped checks corner{'s' if len(held) > 1 else ''} {names}: tape more diagonals."
    )


def _checking_tape(solved: Solved, off: Askew) -> str:
    """Name the diagonal that would check a corner that lengths turn."""
    count = _count(solved)
    taped = {frozenset((d.start, d.end)) for d in solved.walk.diagonals}
    for at in (off.corner, off.corner + 1):
        before, after = sorted(((at - 1) % count + 1, (at + 1) % count + 1))
        if frozenset((before, after)) not in taped:
            return (
                "The lengths fix every corner, but next to nothing checks them: measure from "
                f"corner {before} to corner {after} as well."
            )
    return "The lengths fix every corner."


def _taped(solved: Solved, index: int) -> float:
    """Return a length as it was taped, by its number, in mm."""
    diagonal = solved.diagonal_at(index)
    if diagonal is None:
        return solved.walk.steps[index].length_mm
    return solved.walk.diagonals[diagonal].length_mm


def _length(solved: Solved, index: int, name: str, units: Units, doubted: frozenset[int]) -> Line:
    fitting = solved.adjustment
    taped = _taped(solved, index)
    off = fitting.off(index)
    fitted = format_length(taped + fitting.residuals[index], units)
    disagreement = solved.disagree
    loud = index in (doubted if disagreement is None else disagreement.suspects)
    if off is None:
        sentence = "hardly anything checks it" if loud else "nothing checks it"
        if index in doubted:
            sentence = "not with the corners you said"
        return Line(name, format_length(taped, units), fitted, sentence, "care" if loud else "open")
    if abs(off) < _ROUND_MM:
        sentence = "they agree"
    else:
        away = format_length(abs(off), units)
        nought = format_length(0, units)
        makes = f"they make it {away} {'more' if off > 0 else 'less'}"
        sentence = "they agree" if away == nought else makes
    return Line(name, format_length(taped, units), fitted, sentence, "care" if loud else "ok")


def _corners(solved: Solved, units: Units) -> tuple[Line, ...]:
    held, count = set(_held_by_words(solved)), _count(solved)
    words = {"in": 90.0, "straight": 180.0, "out": 270.0}
    lines = []
    for i in range(count):
        corners = solved.adjustment.corners
        inside = 180 - turn_deg(corners[i - 1], corners[i], corners[(i + 1) % count])
        turn = solved.walk.steps[i - 1].turn
        off = inside - words[turn]
        error = format_length(solved.adjustment.errors_mm[i], units)
        off_it = "as you said" if abs(off) < 0.05 else f"{abs(off):.1f}° off what you said"
        how = "no tape checks it" if i + 1 in held else "measured by the lengths"
        place = "the walk starts here" if i == 0 else f"within about {error}"
        lines.append(
            Line(
                str(i + 1),
                {"in": "turn in", "straight": "straight on", "out": "turn out"}[turn],
                f"{inside:.1f}°",
                f"{off_it}: {how}; {place}",
                "open" if i + 1 in held else "ok",
            )
        )
    return tuple(lines)
