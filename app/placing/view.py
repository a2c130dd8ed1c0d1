"""The stations of a plan in one of its situations, with the tables between them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TypeVar

from app.checks.room_to_use import spaces_judged
from app.checks.spot import form_of
from app.checks.spots import demand_of, spots
from app.placing.convex import rings
from app.placing.form import Form, Need, Rising, in_frame, solids_of
from app.placing.ground import Ground, Stand
from app.placing.of_room import table_of_room
from app.placing.overhead import under_what_hangs
from app.placing.pairs import Table, seen_from
from app.placing.underfoot import decks_of, done_on_decks, over_steps, racks_on_decks
from app.placing.zones import floors_of, glass_of, rules_of
from app.published.register import published
from app.recent import Recent
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short

STANDS_AT_MOST = 160
"""Stations at a turn of which is kept, over a drop too, what the room forbids them: some 15 kB each
were measured, and ways out of a garage full of kit ask for eighty."""
FORMS_AT_MOST = 160
"""Stations in their own frames that are kept likewise, one for stops and one for cares: 3 to 8 kB
each were measured."""


STANDS, MARGINS = ("stands",), ("margins",)
"""Names of tables of what a room is to stations, by value."""


Value = TypeVar("Value")


class View:
    """One situation: forms of stations, and what the room and other stations forbid to them.

    What people do there counts only where they train in it. With `wanted` what makes a care is
    forbidden as well as what makes a stop.
    """

    def __init__(self, scene: Scene, trains: bool = True, wanted: bool = False) -> None:
        self.scene = scene
        self.ground = table_of_room(scene, ("ground", wanted), lambda: Ground(scene, wanted))
        self._trains = trains
        self._wanted = wanted
        self._forms: dict[str, Form] = {}
        self._frames: dict[str, tuple[Placed, ...]] = {}
        self._recent_forms: Recent[tuple[object, ...], Form] = scene.table(
            ("forms",), lambda: Recent(FORMS_AT_MOST)
        )
        self._turned: dict[tuple[str, float], Form] = {}
        self._stands: dict[tuple[str, float], Stand] = {}
        self._recent_stands: Recent[tuple[object, ...], Stand] = table_of_room(
            scene, STANDS, lambda: Recent(STANDS_AT_MOST)
        )
        self._tables: dict[tuple[str, float, str, float], Table] = {}

    def form(self, root: str) -> Form:
        """Return a station in its own frame."""
        if root not in self._forms:
            # what a station is hangs on how its pieces stand to one another
            frame = tuple((p.piece.id, p.pose) for p in self._in_frame(root))
            key = self._trains, self._wanted, frame
            self._forms[root] = self._recent_forms.made(key, lambda: self._form(root))
        return self._forms[root]

    def _in_frame(self, root: str) -> tuple[Placed, ...]:
        if root not in self._frames:
            self._frames[root] = in_frame(self.scene, root)
        return self._frames[root]

    def turned(self, root: str, turn_deg: float) -> Form:
        """Return a station turned as it stands in the room."""
        key = root, turn_deg
        if key not in self._turned:
            self._turned[key] = self.form(root).turned(turn_deg)
        return self._turned[key]

    def stand(self, root: str, turn_deg: float) -> Stand:
        """Return what the room forbids to a station at a turn."""
        key = root, turn_deg
        if key not in self._stands:
            self._stands[key] = self._recent_stands.made(
                self.turned_key(root, turn_deg),
                lambda: self.ground.stand(self.turned(root, turn_deg)),
            )
        return self._stands[key]

    def turned_key(self, root: str, turn_deg: float) -> tuple[object, ...]:
        """Return all that what the room is to a station at a turn hangs on, over a drop too.

        It tells by value, so that another plan of the same room may ask as well.
        """
        return self._trains, self._wanted, turn_deg, self.form(root).room_key

    def table(self, first: str, first_deg: float, second: str, second_deg: float) -> Table:
        """Return the forbidden offsets of the second station as seen from the first."""
        key = first, first_deg, second, second_deg
        if key not in self._tables:
            self._tables[key] = seen_from(
                self.form(first), first_deg, self.form(second), second_deg
            )
        return self._tables[key]

    def kept(self, name: str, make: Callable[[], Value]) -> Value:
        """Return what is kept under a name for all scenes that differ from this in poses alone."""
        return self.scene.table((name, self._trains, self._wanted), make)

    def frames(self) -> tuple[tuple[object, ...], ...]:
        """Return how the pieces of each station stand to one another: over a drop mostly as before.

        What is asked of stations in their own frames hangs on nothing else of where they stand.
        """
        return tuple(
            tuple((p.piece.id, p.pose) for p in self._in_frame(root))
            for root in self.scene.stations
        )

    def _form(self, root: str) -> Form:
        members = self._in_frame(root)
        judged = self.judged(members)
        build = published("rack.stand-up-spare-mm") if self._wanted else 0.0
        needs = tuple(self._needs(root, members)) if self._trains else ()
        return Form(
            solids_of(members, build),
            floors_of(members),
            (
                *rules_of(self.scene, members, judged, self._trains, self._wanted),
                *(under_what_hangs(self.scene, root, members) if self._trains else ()),
                *over_steps(self.scene, members, judged, self._wanted),
                *racks_on_decks(self.scene, members, self._wanted),
                *done_on_decks(self.scene, members, needs),
            ),
            glass_of(members),
            needs,
            decks_of(members),
        )

    def judged(self, members: tuple[Placed, ...]) -> list[list[bool]]:
        """Return which working spaces of each piece are judged here."""
        scene = self.scene
        flags = scene.memo(("spaces wanted",), lambda: spaces_judged(scene))
        number = {placed.piece.id: i for i, placed in enumerate(scene.order)}
        owner = scene.spaces.owner
        return [
            [self._trains and bool(one) for one in flags[owner == number[placed.piece.id]]]
            for placed in members
        ]

    def _needs(self, root: str, members: tuple[Placed, ...]) -> Iterator[Need]:
        scene = self.scene
        here = {placed.piece.id: placed for placed in members}
        for movement, places in spots(scene).items():
            mine = [
                replace(spot, placed=here[spot.placed.piece.id])
                for spot in places
                if spot.placed.root == root
            ]
            for person in scene.plan.people if mine else ():
                if person.wish_for(movement) != "want":
                    continue
                rising = []
                for spot in mine:
                    form, placed = form_of(scene, spot), spot.placed
                    demands = [
                        demand_of(scene, person, spot, part.held_mm, part.on_floor)
                        for part in form.parts
                    ]
                    asked = [
                        (one.need_mm if self._wanted else one.least_mm, one.need_mm)
                        for one in demands
                    ]
                    tops = [own + placed.lift_mm for own in form.own_mm]
                    if any(
                        falls_short(top, least) for top, (least, _) in zip(tops, asked, strict=True)
                    ):
                        continue
                    rising.append(
                        tuple(
                            Rising(ring + placed.at, *heights)
                            for area, heights in zip(form.areas, asked, strict=True)
                            for ring in rings(area)
                        )
                    )
                yield Need(person.id, movement, tuple(rising))
