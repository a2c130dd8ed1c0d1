"""The schema of a kit type, and the loader of the rows in `kit/*.toml`.

A row gives sizes, its true outline as solids, the working spaces it needs, where things rest on
it and which movements are done at it. Everything is in the type's own frame: the origin in the
middle, x to the user's right, y towards the user (the front), as drawn at angle 0.
"""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any, Final, Literal, Self

from pydantic import Field, ValidationError, model_validator

from app.errors import ElbowroomError
from app.library.anchors import Anchor
from app.library.use import Use
from app.model.base import Frozen, Id, Label, Length, Size
from app.published.register import Status as Status
from app.published.register import overridden, published
from app.published.register import row as register_row

OF_THE_HOUSE: Final = "Of the house"
"""The group of what nobody trains at: it is gone to for its own sake."""
GROUPS = (
    "Racks",
    "Benches",
    "Bars and weights",
    "Machines",
    "Bodyweight",
    "Bag and floor",
    "Of the house",
)
Group = Literal[
    "Racks",
    "Benches",
    "Bars and weights",
    "Machines",
    "Bodyweight",
    "Bag and floor",
    "Of the house",
]
Ink = Literal["thing", "dark", "thin", "over", "pad", "mat"]
Part = Literal[
    "post",
    "rail",
    "crossmember",
    "upright",
    "foot",
    "base",
    "frame",
    "pad",
    "back-pad",
    "deck",
    "belt",
    "console",
    "handle",
    "arm",
    "seat",
    "wheel",
    "stack",
    "shelf",
    "shaft",
    "sleeve",
    "plate",
    "weights",
    "column",
    "body",
    "mat",
    "panel",
    "lid",
]


class Form(Frozen):
    """A shape in anchors: a rect (x, y), a disc (centre, radius_mm) or a poly (points)."""

    shape: Literal["rect", "disc", "poly"] = "rect"
    x: tuple[Anchor, Anchor] | None = None
    y: tuple[Anchor, Anchor] | None = None
    centre: tuple[Anchor, Anchor] | None = None
    radius_mm: Size | None = None
    points: tuple[tuple[Anchor, Anchor], ...] = ()
    ink: Ink = "thing"

    @model_validator(mode="after")
    def _is_whole(self) -> Self:
        whole = {
            "rect": self.x is not None and self.y is not None,
            "disc": self.centre is not None and self.radius_mm is not None,
            "poly": len(self.points) > 2,
        }
        if not whole[self.shape]:
            raise ValueError(f"the {self.shape} lacks its x and y, centre and radius, or points")
        return self


class Solid(Form):
    """A prism nothing may enter: its form, its bottom and top, and what part of the piece it is."""

    z: tuple[Anchor, Anchor]
    part: Part


_STEPPED_OVER, _OVERHEAD = "route.step-over-mm", "space.to-mm"


class Mark(Form):
    """A form that is only drawn, to make the symbol readable."""


class Without(Frozen):
    """What a working space asks for where everybody does without a movement: no least depth."""

    movement: Id
    recommended: str


class Space(Frozen):
    """Room that must be free while the piece is used.

    On a side: a strip from that edge outwards, `across` the edge. `ring`: all round the outline.
    `area`: the piece's own outline. Free depth under `least_mm` is worse than under
    `recommended_mm`. `body` and `fall-off` spaces are where people move or land, `access` is
    where they get on, load or reach. Things lower than `z[0]` or higher than `z[1]` don't matter.
    Of the spaces of a piece that are marked `either`, one that is free is enough: a bike is
    mounted from the left or from the right. `to_wall` names what is enough to a bare wall, on one
    side of several that have it, while the others are free. `movement` names the movement it is
    for, if it is for one only: who does without that does not need the space; `without` names one
    where who does without it, and does something else there, needs less. `to_reach` is room
    before what must be got at, such as a main switch. `bare` is floor on which no mat lies either:
    before a heater it gets hot.

    Figures are rows of the register: `least` and `recommended` name those of the depths, `wide`
    that of a strip about the middle of its edge, `between` those of `z`. The figures themselves
    stand beside them as the register has them.

    `heights` takes the place of `z` where these go with the piece, in its own anchors: what hangs
    is worked at from before it, wherever it hangs, and nobody stands in that.

    `key` is what snags are told apart by and settled under. It never changes, whatever becomes of
    `name`, which is for people.
    """

    key: Id
    name: Label
    kind: Literal["body", "fall-off", "access"]
    side: Literal["front", "back", "left", "right", "ring", "area"]
    across: tuple[Anchor, Anchor] | None = None
    least: str | None = None
    recommended: str | None = None
    to_wall: str | None = None
    wide: str | None = None
    between: tuple[str, str] = (_STEPPED_OVER, _OVERHEAD)
    least_mm: Length = 0
    recommended_mm: Length = 0
    to_wall_mm: Length = 0
    z: tuple[Length, Length] = (0, 0)
    heights: tuple[Anchor, Anchor] | None = None
    either: bool = False
    movement: Id | None = None
    without: Without | None = None
    to_reach: bool = False
    bare: bool = False
    source: str = "common practice, no source"
    status: Status = "practice"

    @model_validator(mode="before")
    @classmethod
    def _from_the_register(cls, data: dict[str, Any]) -> dict[str, Any]:
        """Fill in the figures of the rows that are named."""
        made = dict(data)
        low, high = made.get("between", (_STEPPED_OVER, _OVERHEAD))
        made["z"] = (published(low), max(published(low), published(high)))
        if made.get("wide"):
            made["across"] = across_of(made["side"], published(made["wide"]))
        if made.get("to_wall"):
            made["to_wall_mm"] = published(made["to_wall"])
        for depth in ("least", "recommended"):
            if made.get(depth):
                named = register_row(made[depth])
                made |= {"status": named.status, "source": named.title}
                made[f"{depth}_mm"] = max(published(made[depth]), made.get("least_mm", 0.0))
        return made

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        if self.least_mm > self.recommended_mm:
            raise ValueError(f"{self.name!r}: least is more than recommended")
        if self.side != "area" and self.recommended_mm == 0:
            raise ValueError(f"{self.name!r}: a space on a side needs a recommended depth")
        return self


def across_of(side: str, wide_mm: float) -> tuple[str, str]:
    """Return both ends of a strip about the middle of the edge on a side, as anchors."""
    middle = "c" if side in ("front", "back") else "m"
    return f"{middle}-{wide_mm / 2:g}", f"{middle}+{wide_mm / 2:g}"


class BarRest(Frozen):
    """Where a bar may lie: along x at `y`, its middle within `along_mm` of the piece's middle.

    `z` is the least and greatest height of the bar's middle above the piece's foot;
    `outside_mm` is how far apart the outer faces of the holders are.
    """

    name: Label = "hooks"
    y: Anchor
    tolerance_mm: Size = 70
    along_mm: Length = 60
    z: tuple[Anchor, Anchor]
    outside_mm: Length = 0


class Catches(Frozen):
    """Safety bars: their lowest and highest setting above the floor and the step between."""

    low_mm: Size
    high_mm: Size
    pitch_mm: Size


class Fixed(Frozen):
    """How the load of its use reaches the fixings of a piece on a wall or ceiling.

    `use`: a person hangs still (strict) or swings, a bag is struck, weights are pulled, or the
    piece only hangs (steady). `line` is where the load hangs, front to back. `rows` are the
    heights of the lower and upper row of fixings on a wall; of `count` fixings `top` are in the
    upper row.
    """

    use: Literal["strict", "swinging", "bag", "pull", "steady"]
    line: Anchor = "m"
    rows: tuple[Anchor, Anchor] | None = None
    top: int = Field(default=2, ge=1)
    count: int = Field(default=4, ge=1)


class Bears(Frozen):
    """What a piece bears: the row of its usual largest load in kg, and what lies or stands on it.

    `what`: a body, a loaded bar, or both at once.
    """

    most: str
    what: tuple[Literal["body", "bar"], ...]


class BarShape(Frozen):
    """What a bar is: shaft between the sleeves, sleeve length, diameters in mm."""

    shaft_mm: Size
    sleeve_mm: Size
    shaft_diameter_mm: Size
    sleeve_diameter_mm: Size


class Ranges(Frozen):
    """Least and greatest size found in practice in mm, as hints beside the fields."""

    width_mm: tuple[Size, Size] | None = None
    depth_mm: tuple[Size, Size] | None = None
    height_mm: tuple[Size, Size] | None = None


class KitState(Frozen):
    """Another way a piece can stand: folded, stood up, lid up.

    Its solids are in the same frame as those of the row. Unless it is `usable` it needs no
    working space and nothing is done at it.
    """

    key: Id
    name: Label
    solids: tuple[Solid, ...] = Field(min_length=1)
    usable: bool = False


class KitType(Frozen):
    """One row of the library.

    A row of one plan alone has its id in `own`; its `key` is that of the row it was copied from,
    if any, so that it counts as such a thing everywhere. `values` are the rows of the register
    that a household has set otherwise for it, `without` what everybody does without, where less
    room is needed for that. `holds` tells that most of its mass is what is put on
    it or into it, `between_posts` that it may stand between the posts of a rack, `any_side_up` that
    it is used on whichever side it is laid, `takes_floor` that whoever is on it moves over all the
    floor among its parts, so that nothing stands there.
    """

    key: Id
    own: Id | None = None
    values: tuple[tuple[str, float], ...] = ()
    without: tuple[Id, ...] = ()
    name: Label
    group: Group
    width_mm: Size
    depth_mm: Size
    height_mm: Size
    range: Ranges = Ranges()
    mass_kg: float = Field(gt=0)
    holds: bool = False
    between_posts: bool = False
    any_side_up: bool = False
    takes_floor: bool = False
    power_w: float = Field(default=0, ge=0)
    price_minor: int | None = Field(default=None, ge=0)
    fixing: Literal["none", "bolt", "ballast", "wall", "ceiling", "wall-and-floor"] = "none"
    feet: Label = ""
    foot_mm: Length = 0
    solids: tuple[Solid, ...] = ()
    marks: tuple[Mark, ...] = ()
    spaces: tuple[Space, ...] = ()
    rests: tuple[BarRest, ...] = ()
    uses: tuple[Use, ...] = ()
    states: tuple[KitState, ...] = ()
    catches: Catches | None = None
    bar: BarShape | None = None
    fixed: Fixed | None = None
    bears: Bears | None = None
    hole_mm: Length = 0
    plain_because: Label = ""
    note: Label = ""
    source: str = "typical sizes, common practice, no source"
    status: Status = "practice"

    @property
    def for_wall(self) -> bool:
        """Return whether it is made to have its back on a wall that holds it."""
        return self.fixing in ("wall", "wall-and-floor")

    def state(self, key: str | None) -> KitState | None:
        """Return a state by its key; None for the ordinary one. KeyError for an unknown key."""
        if key is None:
            return None
        for state in self.states:
            if state.key == key:
                return state
        raise KeyError(f"{self.name} has no state {key!r}")

    @model_validator(mode="after")
    def _has_an_outline(self) -> Self:
        if not self.solids and not any(space.side == "area" for space in self.spaces):
            raise ValueError("a kit type has solids, or is itself a space")
        if len(self.solids) == 1 and self.solids[0].shape == "rect" and not self.plain_because:
            raise ValueError("an outline that is one plain rectangle says why in plain_because")
        return self


@cache
def kit_types() -> dict[str, KitType]:
    """Load every row, by key, in the order of the groups and then of the files.

    Raises ElbowroomError naming the file and row when a row is wrong.
    """
    rows: dict[str, KitType] = {}
    folder = resources.files("app.library").joinpath("kit")
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if not file.name.endswith(".toml"):
            continue
        data = tomllib.loads(file.read_text(encoding="utf-8"))
        for key, row in data.items():
            try:
                with overridden({}):
                    kit = KitType.model_validate({"key": key, **row})
            except ValidationError as error:
                raise ElbowroomError(f"{file.name}, {key}: {error}") from None
            if key in rows:
                raise ElbowroomError(f"{file.name}: the kit type {key!r} stands twice")
            rows[key] = kit
    return dict(sorted(rows.items(), key=lambda item: GROUPS.index(item[1].group)))
