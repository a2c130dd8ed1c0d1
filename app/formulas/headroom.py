"""Height that a movement demands, from the bare floor, with the working shown.

``least``: covering + deck or box + typical body (measured, else the published proportion)
+ what is held + rise. ``need``: the same with the shoe, the cautious body and a margin.
Where a person sits, kneels or hangs the shoe carries nothing and is left out; where the body
does not rise above standing height the margin is the smaller one.
All lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from app.formulas import body
from app.published.register import published, remembered

ANSWERS_AT_MOST = 4096
"""Demands that are kept: some dozen people at forty movements, on all the decks of a search."""

HangForm = Literal["straight", "bent", "tucked"]
HANG_FORMS: tuple[HangForm, ...] = ("straight", "bent", "tucked")


class Term(NamedTuple):
    """One line of a working: what it is, mm, and the key of its published value if it has one."""

    label: str
    mm: float
    key: str | None = None


# without slots, so that each sum is made once: a search asks the same demand of many places
@dataclass(frozen=True)
class Demand:
    """What a movement asks for: two sums of terms, mm from the bare floor."""

    movement: str
    least: tuple[Term, ...]
    need: tuple[Term, ...]

    @cached_property
    def least_mm(self) -> float:
        """Below this the body or what is held hits."""
        return math.fsum(term.mm for term in self.least)

    @cached_property
    def need_mm(self) -> float:
        """Below this the recommended margin is missing."""
        return math.fsum(term.mm for term in self.need)

    @property
    def source_keys(self) -> tuple[str, ...]:
        """Keys of the published values behind both sums, each once, in order of use."""
        keys = (term.key for term in self.least + self.need if term.key is not None)
        return tuple(dict.fromkeys(keys))


class _Person(NamedTuple):
    stature: float
    reach: float | None


class _Given(NamedTuple):
    held: float
    deck: float
    bar: float | None
    form: HangForm


_Terms = tuple[Term, ...]
_Body = Callable[[_Person, _Given, bool], _Terms]


class _Kind(NamedTuple):
    parts: _Body
    held: str | None = None
    held_on_top: bool = True
    shoe: bool = True
    margin: str = "headroom.margin-mm"
    on_floor: bool = True


@remembered(ANSWERS_AT_MOST)
def demand(
    movement: str,
    stature_mm: float,
    measured_reach_mm: float | None = None,
    floor_mm: float = 0,
    held_mm: float | None = None,
    deck_mm: float = 0,
    rise_mm: float = 0,
    bar_height_mm: float | None = None,
    form: HangForm = "tucked",
) -> Demand:
    """Demand of one movement by one person.

    ``floor_mm`` is the covering. ``held_mm`` stands above the centre of the grip: the plate
    radius over the sleeves, the hands over the middle; ``None`` takes what the movement usually
    holds. ``deck_mm`` is the deck, box or step above the covering, or the bench seat (0: 440).
    ``rise_mm`` is anything more that lifts the feet, such as ``grade_rise_mm``.
    ``bar_height_mm`` is the centre of a pull-up or dip bar above the *bare* floor; without it a
    pull-up takes the lowest bar that ``form`` allows and a dip bars at the elbow.

    Raises ``KeyError`` for an unknown movement, ``ValueError`` for a body or a length that is
    not a finite number.
    Worked: standing press, 1750 on 20 with plates of 450: least 20 + 2107 + 225 = 2352.
    """
    kind = _KINDS.get(movement)
    if kind is None:
        raise KeyError(f"no headroom is known for the movement {movement!r}")
    body.reach_surplus_mm(stature_mm, measured_reach_mm)  # refuses what is no body
    lengths = {"covering": floor_mm, "deck": deck_mm, "rise": rise_mm}
    lengths |= {"part held": held_mm or 0, "bar": bar_height_mm or 0}
    for name, value in lengths.items():
        if not math.isfinite(value) or value < 0:
            raise ValueError(f"the {name} must be 0 mm or more, not {value!r}")
    held = held_mm
    if held is None:
        held = _held(kind.held) if kind.held else 0
    person = _Person(stature_mm, measured_reach_mm)
    bar = bar_height_mm
    if bar is None and not kind.on_floor:
        bar = floor_mm + _usual_bar_mm(movement, person, form)
    given = _Given(held, deck_mm, bar, form)

    covering = (Term("floor covering", floor_mm),) if kind.on_floor else ()
    rise = (Term("rise of the feet", rise_mm),) if rise_mm else ()
    shoe = (_term("shoe", "body.shoe-mm"),) if kind.shoe else ()
    holds: _Terms = ()
    if kind.held and kind.held_on_top:
        holds = (Term("held above the grip", held, kind.held if held_mm is None else None),)
    margin = (_term("margin", kind.margin),)
    least = covering + kind.parts(person, given, False) + rise + holds
    need = covering + shoe + kind.parts(person, given, True) + rise + holds + margin
    return Demand(movement, least, need)


def hang_demand(
    form: HangForm,
    stature_mm: float,
    measured_reach_mm: float | None = None,
    floor_mm: float = 0,
) -> Demand:
    """Height of the centre of a pull-up bar above the bare floor for a hang of this form.

    Straight: legs down. Bent: lower legs back, the knee lowest. Tucked: knees drawn up.
    ``need`` adds the foot clearance of 50. Worked: 1800 straight: need 2255.4 + 50 = 2305.4.
    """
    surplus = body.reach_surplus_mm(stature_mm, measured_reach_mm)
    key = f"body.hang.{form}-ratio"
    least: _Terms = (
        Term("floor covering", floor_mm),
        Term(f"bar to the lowest point, {form} hang", published(key) * stature_mm + surplus, key),
    )
    clearance = _term("clear of the floor", "pull-up.foot-clearance-mm")
    return Demand("pull-up", least, (*least, clearance))


def hang_forms(
    bar_height_mm: float,
    stature_mm: float,
    measured_reach_mm: float | None = None,
    floor_mm: float = 0,
) -> tuple[HangForm, ...]:
    """Forms of the hang that a bar at this height above the bare floor leaves room for.

    Judged by ``least``; empty if even the tucked knees touch. Worked: 1750 on 20, bar at 1815:
    bent (1717.5) and tucked (1420).
    """
    return tuple(
        form
        for form in HANG_FORMS
        if hang_demand(form, stature_mm, measured_reach_mm, floor_mm).least_mm <= bar_height_mm
    )


def grade_rise_mm(grade: float, pivot_to_foot_mm: float | None = None) -> float:
    """How far a grade (0.10 for 10 %) lifts the feet above the level deck: s sin(atan g).

    ``pivot_to_foot_mm`` is 1000 unless given (common practice, no source).
    Worked: 0.15 at 1000 gives 148.3.
    """
    lever = published("run.pivot-to-foot-mm") if pivot_to_foot_mm is None else pivot_to_foot_mm
    return lever * math.sin(math.atan(grade))


def movement_keys() -> tuple[str, ...]:
    """Every movement that ``demand`` knows, by pattern from presses to floor work."""
    return tuple(_KINDS)


def _term(label: str, key: str) -> Term:
    return Term(label, published(key), key)


def _held(key: str) -> float:
    value = published(key)
    return value / 2 if key.endswith("diameter-mm") else value


def _usual_bar_mm(movement: str, person: _Person, form: HangForm) -> float:
    if movement == "pull-up":
        return hang_demand(form, person.stature, person.reach).need_mm
    elbow = published("body.shoulder-height-ratio") - published("body.upper-arm-ratio")
    return elbow * person.stature


def _own(label: str, ratio_key: str, person: _Person, arms: bool = False) -> Term:
    """One length of the body, with the measured surplus of the reach where arms are in it."""
    surplus = body.reach_surplus_mm(person.stature, person.reach) if arms else 0
    return Term(label, published(ratio_key) * person.stature + surplus, ratio_key)


def _standing_reach(person: _Person, given: _Given, cautious: bool) -> _Terms:
    deck = _deck("deck or box", given)
    if person.reach is not None:
        return (*deck, Term("reach, measured", person.reach))
    if cautious:
        reach = body.grip_reach_cautious_mm(person.stature)
        return (*deck, Term("reach, tall end", reach, "body.grip-reach.cautious-slope"))
    reach = body.grip_reach_typical_mm(person.stature)
    return (*deck, Term("reach, typical", reach, "body.grip-reach.typical-ratio"))


def _seated_reach(person: _Person, given: _Given, cautious: bool) -> _Terms:
    seat = Term("seat", given.deck) if given.deck else _term("seat", "press.seat-mm")
    return (seat, *_other_reach("body.sitting-grip-reach", "seat to the grip", person, cautious))


def _kneeling_reach(person: _Person, given: _Given, cautious: bool) -> _Terms:
    return _other_reach("body.kneeling-grip-reach", "knees to the grip", person, cautious)


def _other_reach(stem: str, label: str, person: _Person, cautious: bool) -> _Terms:
    end = "cautious" if cautious else "typical"
    return (_own(f"{label}, {end}", f"{stem}.{end}-ratio", person, arms=True),)


def _angled_reach(person: _Person, given: _Given, cautious: bool) -> _Terms:
    """Hands at the end of a bar pivoted on the floor; the plates stand square to the bar.

    The top of the plates is h + r cos a, sin a = (h - pivot) / lever. Past the steepest useful
    angle the rigid bar bounds it: pivot + hypot(lever, r).
    """
    hands = _own("floor to the hands, angled", "body.angled-grip-reach.ratio", person, arms=True)
    pivot, lever = published("landmine.pivot-mm"), published("landmine.lever-mm")
    bound = pivot + math.hypot(lever, given.held)
    sine = (hands.mm - pivot) / lever
    steepest = lever / math.hypot(lever, given.held)
    top = bound if sine >= steepest else hands.mm + given.held * math.sqrt(1 - max(0, sine) ** 2)
    key = "landmine.lever-mm"
    return (hands, Term("plates square to the bar", top - hands.mm, key))


def _lying_reach(person: _Person, given: _Given, cautious: bool) -> _Terms:
    seat = Term("bench", given.deck) if given.deck else _term("bench", "press.seat-mm")
    chest = _term("pad to the shoulder", "bench-press.chest-mm")
    return (seat, chest, _own("arms up", "body.lying-arm-reach-ratio", person, arms=True))


def _crown(*rises: tuple[str, str]) -> _Body:
    def parts(person: _Person, given: _Given, cautious: bool) -> _Terms:
        stature = Term("stature", person.stature)
        extra = tuple(_term(label, key) for label, key in rises)
        return (*_deck("deck or step", given), stature, *extra)

    return parts


def _under_bar(person: _Person, given: _Given, cautious: bool) -> _Terms:
    """The crown, or what lies on the shoulders where its height above their joint is given."""
    if not given.held:
        return _crown()(person, given, cautious)
    shoulders = _own("bar on the shoulders", "body.shoulder-height-ratio", person)
    return (*_deck("deck or step", given), shoulders, Term("above the shoulders", given.held))


def _box_jump(person: _Person, given: _Given, cautious: bool) -> _Terms:
    flight = _term("flight of a jump", "jump.flight-mm")
    lift = Term("box", given.deck) if given.deck > flight.mm else flight
    heels = (_term("heel rise", "jump.heel-rise-mm"),) if cautious else ()
    return (Term("stature", person.stature), lift, *heels)


def _skip(person: _Person, given: _Given, cautious: bool) -> _Terms:
    head: _Terms = (Term("stature", person.stature), _term("jump", "skip.jump-mm"))
    rope = _own("top of the rope", "skip.rope-ratio", person)
    return (rope,) if cautious and rope.mm > math.fsum(term.mm for term in head) else head


def _over_bar(person: _Person, given: _Given, cautious: bool) -> _Terms:
    return (
        Term("pull-up bar above the bare floor", given.bar or 0),
        _own("chin to crown", "body.chin-to-crown-ratio", person),
        _term("chin over the bar", "pull-up.chin-over-bar-mm"),
    )


def _over_dip_bars(person: _Person, given: _Given, cautious: bool) -> _Terms:
    crown = _own("bars to the crown", "body.dip-rise-ratio", person)
    return (Term("dip bars above the bare floor", given.bar or 0), crown)


def _stretch(person: _Person, given: _Given, cautious: bool) -> _Terms:
    surplus = body.reach_surplus_mm(person.stature, person.reach)
    if person.reach is None and cautious:
        tips = body.fingertip_reach_cautious_mm(person.stature)
        return (Term("fingertips, tall end", tips, "body.fingertip-reach.cautious-slope"),)
    tips = body.fingertip_reach_typical_mm(person.stature) + surplus
    return (Term("fingertips", tips, "body.fingertip-reach.typical-ratio"),)


def _handstand(person: _Person, given: _Given, cautious: bool) -> _Terms:
    return (_own("palms to toes", "body.handstand-ratio", person, arms=True),)


def _sitting_up(person: _Person, given: _Given, cautious: bool) -> _Terms:
    return (_own("sitting height", "body.sitting-height-ratio", person),)


def _seated(seat_key: str) -> _Body:
    def parts(person: _Person, given: _Given, cautious: bool) -> _Terms:
        seat = Term("seat", given.deck) if given.deck else _term("seat", seat_key)
        return (seat, _own("seat to the crown", "body.sitting-height-ratio", person))

    return parts


def _riding(person: _Person, given: _Given, cautious: bool) -> _Terms:
    """Sitting in the saddle; with the margin also standing on the pedals where one can."""
    seated = _seated("sight.seat-mm")(person, given, cautious)
    if not cautious or seated[0].mm < published("bike.standing-saddle-mm"):
        return seated
    rise = _term("standing on the pedals", "bike.standing-rise-mm")
    standing = (_term("shoe", "body.shoe-mm"), Term("stature", person.stature), rise)
    return max(seated, standing, key=lambda terms: math.fsum(term.mm for term in terms))


def _deck(label: str, given: _Given) -> _Terms:
    return (Term(label, given.deck),) if given.deck else ()


_PLATES = "plate.large-diameter-mm"
_STANDING = "headroom.margin.standing-mm"
_KINDS: dict[str, _Kind] = {
    "standing-press": _Kind(_standing_reach, held=_PLATES),
    "dumbbell-press": _Kind(_standing_reach, held="held.dumbbell-mm"),
    "seated-press": _Kind(_seated_reach, held=_PLATES, shoe=False),
    "kneeling-press": _Kind(_kneeling_reach, held=_PLATES, shoe=False),
    "landmine-press": _Kind(_angled_reach, held=_PLATES, held_on_top=False),
    "bench-press": _Kind(_lying_reach, held=_PLATES, shoe=False),
    "dip": _Kind(_over_dip_bars, shoe=False, on_floor=False),
    "pull-up": _Kind(_over_bar, shoe=False, on_floor=False),
    "barbell-row": _Kind(_crown(), margin=_STANDING),
    "cable-pull": _Kind(_crown(), margin=_STANDING),
    "machine-row": _Kind(_seated("row.seat-mm"), shoe=False),
    "squat": _Kind(_under_bar, margin=_STANDING),
    "lunge": _Kind(_crown(), margin=_STANDING),
    "deadlift": _Kind(_crown(), margin=_STANDING),
    "run": _Kind(_crown(("rise while running", "run.rise-mm"))),
    "walk": _Kind(_crown()),
    "bike": _Kind(_riding, shoe=False),
    "cross-trainer": _Kind(_crown()),
    "stair-machine": _Kind(_crown()),
    "step-up": _Kind(_crown()),
    "box-jump": _Kind(_box_jump),
    "skip": _Kind(_skip),
    "kettlebell-overhead": _Kind(_standing_reach, held="held.kettlebell-mm"),
    "kettlebell-swing": _Kind(_crown(), margin=_STANDING),
    "bag": _Kind(_crown(), margin=_STANDING),
    "stretch": _Kind(_stretch, shoe=True),
    "handstand": _Kind(_handstand),
    "floor-work": _Kind(_sitting_up, shoe=False),
}
