"""Plans with a fit-out, for the tests of the take-off and of the costs."""

from typing import Any

from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.money import Money
from app.model.people import Person
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import Scene, build_scene
from app.takeoff.line import TakeOff
from app.takeoff.quantities import take_off
from app.units import Units
from tests.builders import make_plan, make_room


def scene_of(
    *pieces: Piece,
    room: Room | None = None,
    money: Money | None = None,
    currency: str = "EUR",
    units: Units = "metric",
    people: tuple[Person, ...] = (),
    **fit_out: Any,
) -> Scene:
    """The scene of a plan with this fit-out; nothing is assumed unless the test asks for it."""
    chosen = FitOut.model_validate({"nothing_assumed": True, **fit_out})
    data = make_plan(*pieces, room=room or make_room(), people=people).model_dump()
    data |= {"fit_out": chosen.model_dump(), "currency": currency, "units": units}
    if money is not None:
        data["money"] = money.model_dump()
    return build_scene(Plan.model_validate(data))


def counted(*pieces: Piece, **asked: Any) -> TakeOff:
    """The take-off of such a plan."""
    return take_off(scene_of(*pieces, **asked))
