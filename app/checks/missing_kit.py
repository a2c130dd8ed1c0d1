"""Wanted, but with nothing to do it in: what is still to get, in one row for each person.

A bench or a bar at hand with nothing that holds and catches the bar tempts to press under it:
that is a stop. A bar to squat with and nothing to take it from is a care. What nobody can try
yet, for want of the kit, is a note of what is still to get.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.headroom import person_name
from app.checks.open_floor import line_of
from app.checks.snag import SEVERITIES, Severity, Snag
from app.checks.spots import served
from app.checks.standing import snags_of_plan
from app.library.movements import movements
from app.model.people import Person
from app.scene.build import Placed, Scene
from app.wording import Phrase, in_a_row, joined, phrase

_ASKED = ("bench-press", "squat", "pull-up")
_HOLDERS = {
    "bench-press": "a rack with catches",
    "squat": "a rack, or stands with arms that catch",
}
_TO_HANG_ON = "something to hang from: a rack with a bar across, a tower or a pull-up bar"
_AT_HAND = {
    "bench-press": "{:cap}: there is {} here, and nothing to hold the bar and catch it over the "
    "body. Still to get: {}. Until then no pressing",
    "squat": "{:cap}: there is a bar, and nothing to take it from or to catch it. Still to get: {}",
}
_KEYS = {
    "bench-press": ("catch.above-pad-least-mm", "catch.above-pad-most-mm"),
    "squat": ("catch.drop-floor-mm",),
    "pull-up": ("pull-up.chin-over-bar-mm",),
}


def missing_kit(scene: Scene) -> Iterator[Snag]:
    """Yield one row for each person who wants a movement that no kit here is made for.

    Where a piece is made for it and only lacks its bar or bench, its station says so itself.
    """
    yield from snags_of_plan(scene, "missing-kit", _rows)


def _rows(scene: Scene) -> Iterator[Snag]:
    for person in scene.plan.people:
        lines = _lines(scene, person)
        if lines:
            yield _row(scene, person, lines)


def still_to_get_for(scene: Scene, person: Person) -> tuple[str, ...]:
    """Return the movements that a person wants and that no kit here is made for."""
    return tuple(key for key, _, _ in _lines(scene, person))


def _lines(scene: Scene, person: Person) -> list[tuple[str, Severity, Phrase]]:
    offered = {use.movement for placed in scene.order for use in placed.kit.uses}
    lacking = [key for key in _ASKED if key not in offered and key not in served(scene)]
    wanted = [key for key in lacking if person.wish_for(key) == "want"]
    return [(key, *one) for key in wanted if (one := _line(scene, person, key))]


def _row(scene: Scene, person: Person, lines: list[tuple[str, Severity, Phrase]]) -> Snag:
    severity = min((line[1] for line in lines), key=SEVERITIES.index)
    words = [line[2] for line in sorted(lines, key=lambda line: SEVERITIES.index(line[1]))]
    at_hand = [*_benches(scene), *_bars(scene)] if severity != "note" else []
    return Snag(
        code="missing-kit",
        lacks="kit",
        severity=severity,
        template="{}.",
        values=(joined(". ", words),),
        parts=tuple(phrase("{}.", one) for one in words),
        pieces=tuple(placed.piece.id for placed in at_hand[:1]),
        names=("still to get", person_name(person, scene.plan.units)),
        person=person.id,
        movement=lines[0][0] if len(lines) == 1 else None,
        unit=None,
        source_keys=tuple(key for line in lines for key in _KEYS[line[0]]),
    )


def _line(scene: Scene, person: Person, movement: str) -> tuple[Severity, Phrase] | None:
    """Return how bad it is and what is still to get; None where no kit would make it fit."""
    name, bars, benches = movements()[movement].name, _bars(scene), _benches(scene)
    if movement == "pull-up":
        to_get = [_TO_HANG_ON]
    else:
        to_get = [_HOLDERS[movement]]
        to_get += [] if benches or movement == "squat" else ["a bench"]
        to_get += [] if bars else ["a bar with plates"]
    list_of_them = in_a_row(to_get)
    if movement == "bench-press" and (bars or benches):
        here = in_a_row(["a bench"] * bool(benches) + ["a bar"] * bool(bars))
        return "stop", phrase(_AT_HAND[movement], name, here, list_of_them)
    if movement == "squat" and bars:
        return "care", phrase(_AT_HAND[movement], name, list_of_them)
    # what the bare room forbids is said as headroom: nothing to get would mend it
    if line_of(scene, person, movement).verdict == "does-not":
        return None
    return "note", phrase("{:cap}: still to get: {}", name, list_of_them)


def _bars(scene: Scene) -> list[Placed]:
    return [placed for placed in scene.order if placed.kit.bar is not None]


def _benches(scene: Scene) -> list[Placed]:
    return [placed for placed in scene.order if placed.kit.group == "Benches"]
