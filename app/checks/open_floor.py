"""What the ceiling allows before there is any kit: the card of a person, movement by movement."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.checks.alone import catch_words
from app.checks.boarding import TODAY, fits_today
from app.checks.footing import belt_words
from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import spots
from app.formulas.headroom import Demand, demand
from app.library.movements import Movement, movements
from app.model.people import Person, WishWord
from app.published.register import published, remembered_by_bytes
from app.scene.build import Scene
from app.scene.footing import ON_A_BELT, Footing, footing
from app.scene.memory import ANSWERS_AT_MOST
from app.scene.overhead import Overhead
from app.scene.room import ROOMS_BYTES, RoomShape, room_bytes
from app.scene.shapes import turned
from app.scene.swept import Held, area_size_mm, held_anywhere, parts
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import QUARTER_TURN_DEG, Units, told_mm
from app.wording import Phrase, joined, lower, phrase

PLACES_A_SIDE = 7
"""Places tried along each side of the room: in a room of 5 m one every 60 cm, as far as one steps
aside without noticing; each more costs a look overhead for every movement of every person."""


_RUN, _WALK = "run", "walk"

Answer = Literal["fits", "tight", "does-not"]


@dataclass(frozen=True, slots=True)
class CardLine:
    """One movement of one person on the open floor of this room. Heights in mm.

    `plate_mm` is how large across the plates of the bar are, 0 with two dumbbells in place of one.
    `wording` is all of it; `short` leaves out `lowest`, what hangs lowest in the room and how high
    it is, where the movement does not fit everywhere.
    """

    movement: str
    name: str
    pattern: str
    verdict: Answer
    everywhere: bool
    clear_mm: float | None
    least_mm: float
    need_mm: float
    wording: Phrase
    short: Phrase
    lowest: tuple[str, float] | None
    wish: WishWord | None
    demand: Demand
    units: Units
    plate_mm: float

    @property
    def sentence(self) -> str:
        """What the room allows, in the units of the plan."""
        return self.wording.worded(self.units)

    def beside(self, lowest_name: str | None) -> str:
        """Return the sentence on a card that tells once how low the thing `lowest_name` is."""
        if not self.lowest or self.lowest[0] != lowest_name:
            return self.sentence
        return phrase("{}; not everywhere", self.short).worded(self.units)


@dataclass(frozen=True, slots=True)
class PersonCard:
    """What one person can do in this room before there is any kit."""

    person_id: str
    label: str
    stature_mm: float
    lines: tuple[CardLine, ...]

    @property
    def lowest(self) -> str | None:
        """What hangs lowest in the room, where several lines would tell of it; else None."""
        counts = Counter(line.lowest[0] for line in self.lines if line.lowest)
        name, times = next(iter(counts.most_common(1)), ("", 0))
        return name if times > 2 else None

    @property
    def lowest_words(self) -> str:
        """How low that is at the lowest, in the units of the plan; empty where it is not told."""
        name = self.lowest
        if name is None:
            return ""
        heights = [line.lowest[1] for line in self.lines if line.lowest and line.lowest[0] == name]
        return _lowest(name, min(heights)).worded(self.lines[0].units)


@dataclass(frozen=True, slots=True)
class Floor:
    """Where a movement has the floor it takes: clear height less what is held, at each place.

    `under` is what hangs over the lowest of them.
    """

    over_mm: NDArray[np.float64]
    at: NDArray[np.float64]
    held_mm: float | None
    under: str = ""


def card(scene: Scene) -> tuple[PersonCard, ...]:
    """Return the card of every person."""
    return tuple(
        PersonCard(
            person.id,
            person_name(person, scene.plan.units),
            person.stature_mm,
            tuple(line(scene, person, row) for row in movements().values() if row.on_card),
        )
        for person in scene.plan.people
    )


def line_of(scene: Scene, person: Person, movement: str) -> CardLine:
    """Judge one movement of one person on the open floor; kept with the scene."""
    row = movements()[movement]
    return scene.memo(("line", person.id, movement), partial(line, scene, person, row))


def line(scene: Scene, person: Person, row: Movement) -> CardLine:
    """Judge one movement of one person on the open floor, at the best place of the room."""
    floor, held = open_floor(scene, row.key), held_anywhere(scene, row.key)
    asked = open_demand(scene, person, row.key, floor.held_mm)
    least, need = asked.least_mm, asked.need_mm
    told = partial(told_mm, units=scene.plan.units)
    everywhere = True
    clear: float | None = None
    verdict: Answer = "does-not"
    lowest: tuple[str, float] | None = None
    if not len(floor.over_mm):
        width, depth = area_size_mm(row.key, held)
        sentence = phrase("takes {:bare} x {:mm} of floor: the room is too small", width, depth)
    else:
        clear = float(floor.over_mm.max()) + (floor.held_mm or 0.0)
        worst = float(floor.over_mm.min()) + (floor.held_mm or 0.0)
        hits, tight = falls_short(clear, least), falls_short(clear, need)
        verdict = "does-not" if hits else "tight" if tight else "fits"
        everywhere = not falls_short(worst, need if verdict == "fits" else least)
        # as they are printed: what is left out and what is said then add up
        sentence = _sentence(verdict, told(clear), told(least), told(need))
        bare = partial(_bare_mm, scene, row.key)
        if verdict != "fits" and fits_today(scene, bare, least if hits else need):
            sentence = phrase("{}; {}", sentence, TODAY)
        if not everywhere and verdict != "does-not":
            lowest = (floor.under, worst)
    short = _with_its_terms(scene, row, sentence, bool(len(floor.over_mm)))
    if lowest:
        sentence = phrase("{}. Not everywhere: {}", sentence, _lowest(*lowest))
    sentence = _with_its_terms(scene, row, sentence, bool(len(floor.over_mm)))
    return CardLine(
        row.key,
        row.name,
        row.pattern,
        verdict,
        everywhere,
        None if clear is None else told(clear),
        told(least),
        told(need),
        sentence,
        short,
        lowest,
        person.wish_for(row.key),
        asked,
        scene.plan.units,
        0.0 if held is None else held.plate_mm,
    )


def open_demand(
    scene: Scene, person: Person, movement: str, held_mm: float | None = None
) -> Demand:
    """Return what a movement of a person asks for, wherever in the room it is done.

    Of a belt the deck and grade are those of the lowest machine in the plan, else those assumed.
    """
    under = _belt(scene, movement) or Footing(0.0)
    if movement in ON_A_BELT and not under.base_mm:
        under = Footing(published("run.deck-assumed-mm"))
    return demand(
        movement,
        person.stature_mm,
        person.reach_mm,
        floor_mm=scene.plan.room.floor.covering.thickness_mm,
        held_mm=held_mm,
        deck_mm=under.base_mm,
        rise_mm=under.rise_mm,
    )


def _belts(scene: Scene, movement: str) -> list[Spot]:
    """Return the belts of the plan for a movement, the lowest first."""
    there = spots(scene).get(movement, ()) if movement in ON_A_BELT else ()
    return sorted(there, key=lambda spot: sum(footing(spot.placed, spot.use)))


def _belt(scene: Scene, movement: str) -> Footing | None:
    return next((footing(spot.placed, spot.use) for spot in _belts(scene, movement)), None)


def _lowest(under: str, worst_mm: float) -> Phrase:
    if under in ("", "ceiling"):
        return phrase("at its lowest the room has {:mm} clear", worst_mm)
    name = "joists" if under == "joist" else lower(under)
    return phrase("under the {} the room has {:mm} clear", name, worst_mm)


def _with_its_terms(scene: Scene, row: Movement, sentence: Phrase, placed: bool) -> Phrase:
    """Add what a sentence takes for granted, where there is a place for the movement."""
    if placed and row.pattern == "run":
        for spot in _belts(scene, row.key):
            return phrase("{}; {}", sentence, belt_words(spot.placed, spot.use))
        return phrase("{}; on a deck of {:mm}, flat", sentence, published("run.deck-assumed-mm"))
    if placed and row.key == "pull-up":
        return phrase("{}; with the bar as low as drawn-up knees allow", sentence)
    if placed and row.key == "bench-press":
        there = (spot.placed.root for spot in spots(scene).get(row.key, ()))
        settings = [words for root in dict.fromkeys(there) if (words := catch_words(scene, root))]
        return joined("; ", [sentence, *settings])
    return sentence


def _sentence(verdict: Answer, clear: float, least: float, need: float) -> Phrase:
    if verdict == "does-not":
        words = "{:mm} too low: {:bare} of the {:mm} needed"
        return phrase(words, max(least - clear, 1), clear, least)
    if verdict == "tight":
        words = "passes, {:mm} short of the margin: {:bare} of {:bare}"
        return phrase(words, max(need - clear, 1), clear, need)
    words = "fits with {:mm} to spare: {:bare} of {:bare}"
    return phrase(words, clear - need, need, clear)


def open_floor(scene: Scene, movement: str) -> Floor:
    """Try a movement at places all over the bare room, along and across; kept with the room."""
    return _try_places(scene.room, movement, held_anywhere(scene, movement))


def _bare_mm(scene: Scene, movement: str) -> float:
    """Return the clear height of a movement at its best place under the ceiling as it is today."""
    floor = _try_places(scene.room, movement, held_anywhere(scene, movement), True)
    return float(floor.over_mm.max()) + (floor.held_mm or 0.0)


def _floor_bytes(floor: Floor, asked: tuple[Any, ...]) -> int:
    # the room is held as long as the answer is, though it is asked for by nobody else
    return floor.over_mm.nbytes + floor.at.nbytes + room_bytes(asked[0])


@remembered_by_bytes(ANSWERS_AT_MOST, ROOMS_BYTES, _floor_bytes)
def _try_places(room: RoomShape, movement: str, held: Held | None, bare: bool = False) -> Floor:
    rising = parts(movement, held)
    width, depth = area_size_mm(movement, held)
    row = movements()[movement]
    # the wander may brush a wall: only what the movement itself takes must lie in the room
    body = _rectangle(width - 2 * row.wander_mm, depth - 2 * row.wander_mm)
    overhead: Overhead = room.bare if bare else room.training
    best_over, best_at, most_held = [], [], max((p.held_mm or 0.0 for p in rising), default=0.0)
    lowest, under = math.inf, ""
    along, across = directions(room)
    everywhere = _grid(room.free, along)
    for angle in (along, across):
        centres = everywhere
        inside = shapely.covers(room.within, _put(turned(body, angle), centres))
        centres = centres[inside]
        if not len(centres):
            continue
        over = np.full(len(centres), np.inf)
        for part in rising:
            area = turned(part.area, angle).buffer(-TOLERANCE_MM / 2, join_style="mitre")
            clear, causes = overhead.clear(_put(area, centres))
            left = clear - (part.held_mm or 0.0)
            over = np.minimum(over, left)
            least = int(left.argmin())
            if left[least] < lowest:
                lowest, under = float(left[least]), overhead.items[int(causes[least])].name
        best_over.append(over)
        best_at.append(centres)
    none = rising[0].held_mm is None
    if not best_over:
        return Floor(np.array([]), np.zeros((0, 2)), None if none else most_held)
    held_mm = None if none else most_held
    return Floor(np.concatenate(best_over), np.concatenate(best_at), held_mm, under)


def directions(room: RoomShape) -> tuple[float, float]:
    """Return the directions of the longest wall and across it, in degrees."""
    # of walls of one length, to the mm, the first, however the room is turned
    longest = max(room.walls, key=lambda wall: round(math.dist(wall.start, wall.end)))
    along = math.degrees(math.atan2(longest.along[1], longest.along[0]))
    return along, along + QUARTER_TURN_DEG


def _grid(free: Polygon, angle: float) -> NDArray[np.float64]:
    """Return places in even steps over the room, along and across a direction in degrees."""
    count = PLACES_A_SIDE
    x0, y0, x1, y1 = turned(free, -angle).bounds
    shares = (np.arange(count) + 1) / (count + 1)
    xs, ys = np.meshgrid(x0 + shares * (x1 - x0), y0 + shares * (y1 - y0))
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    back = np.array([[cos, sin], [-sin, cos]])
    places: NDArray[np.float64] = np.stack([xs.ravel(), ys.ravel()], axis=1) @ back
    return places


def _put(area: Polygon, centres: NDArray[np.float64]) -> NDArray[np.object_]:
    ring = np.asarray(area.exterior.coords)
    rings = ring[None, :, :] + centres[:, None, :]
    return np.asarray(shapely.polygons(rings), dtype=object)


def _rectangle(width: float, depth: float) -> Polygon:
    w, d = width / 2, depth / 2
    return Polygon([(-w, -d), (w, -d), (w, d), (-w, d)])


def _walked_on(scene: Scene, person: Person) -> Snag:
    """Return the note that somebody wants to run where there is a belt to walk on alone."""
    pad = next(iter(_belts(scene, _WALK))).placed
    return Snag(
        code="nothing-to-run-on",
        severity="note",
        template="The {} is made to walk on: there is nothing here to run on.",
        values=(lower(pad.name),),
        pieces=(pad.piece.id,),
        names=(movements()[_RUN].name, person_name(person, scene.plan.units)),
        person=person.id,
        movement=_RUN,
        unit=None,
        where=pad.at,
    )


def wanted_without_kit(scene: Scene, served: frozenset[str]) -> Iterator[Snag]:
    """Yield a snag for each wanted movement that no piece serves and the bare room forbids."""
    for person in scene.plan.people:
        for wish in person.wishes:
            if wish.wish != "want" or wish.movement in served:
                continue
            card_line = line_of(scene, person, wish.movement)
            if wish.movement == _RUN and _WALK in served:
                yield _walked_on(scene, person)
                continue
            if card_line.verdict == "fits":
                continue
            hits = card_line.verdict == "does-not"
            terms = card_line.demand.least if hits else card_line.demand.need
            floor = open_floor(scene, wish.movement)
            best = floor.at[int(floor.over_mm.argmax())] if len(floor.at) else None
            yield Snag(
                code="headroom",
                lacks="height",
                while_training=True,
                severity="stop" if hits else "care",
                template="{:cap}.",
                values=(card_line.wording,),
                names=(card_line.name, person_name(person, scene.plan.units)),
                person=person.id,
                movement=wish.movement,
                measured=None if card_line.clear_mm is None else round(card_line.clear_mm),
                required=round(card_line.least_mm),
                need=round(card_line.need_mm),
                where=None if best is None else (float(best[0]), float(best[1])),
                source_keys=card_line.demand.source_keys,
                working=tuple((term.label, round(term.mm, 1)) for term in terms),
            )
