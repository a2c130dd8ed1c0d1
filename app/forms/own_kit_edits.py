"""Kit of one's own, as typed into a form."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, cast, get_args

from app.changes.commands import Command
from app.errors import CommandError
from app.forms.field_table import Field, Table, choice, length, mass, money, number, text
from app.forms.thing_edits import Done, Things, command_of
from app.forms.typed_fields import Typed
from app.library.kit import GROUPS, KitType, kit_types
from app.library.own import stated_space
from app.model.base import LABEL_LIMIT
from app.model.own_kit import OwnKit, OwnSpace, Side
from app.model.plan import Plan
from app.wording import lower

SIDES = cast("tuple[Side, ...]", get_args(Side))
KINDS = (
    ("access", "to reach or load it"),
    ("fall-off", "to fall off into"),
    ("body", "for the body"),
)
SPACE_MM = 10_000.0
OWN_LIMIT = 200


def _shown(plan: Plan, row: OwnKit | None) -> dict[str, Any]:
    entered = {space.side: space for space in row.spaces} if row else {}
    base = kit_types().get(row.like or "") if row else None
    shown: dict[str, Any] = {}
    for side in SIDES:
        space = entered.get(side) or _as_copied(side, base)
        shown[f"{side}-kind"] = space.kind
        shown[f"{side}-least"] = space.least_mm or None
        shown[f"{side}-wanted"] = space.recommended_mm or None
        shown[f"{side}-manual"] = space.manual_mm or None
    return shown


def _read(plan: Plan, typed: Typed, old: OwnKit | None, values: dict[str, Any]) -> dict[str, Any]:
    base = kit_types().get(old.like or "") if old else None
    spaces = [space for side in SIDES if (space := _space(typed, side, base, values)) is not None]
    return {**values, "spaces": tuple(spaces)}


def _space(
    typed: Typed, side: Side, base: KitType | None, values: dict[str, Any]
) -> OwnSpace | None:
    """Take the room on one side out of the values; None where it is as in the copied row."""
    kind, least, wanted, manual = (
        values.pop(f"{side}-{name}") for name in ("kind", "least", "wanted", "manual")
    )
    wanted = least if wanted is None else wanted
    if least > wanted:
        typed.fault(f"{side}-wanted", "less than the least")
        return None
    entered = OwnSpace(
        side=side, kind=kind, least_mm=least, recommended_mm=wanted, manual_mm=manual
    )
    return None if entered == _as_copied(side, base) else entered


def _as_copied(side: Side, base: KitType | None) -> OwnSpace:
    old = stated_space(base, side)
    if old is None:
        return OwnSpace(side=side)
    return OwnSpace(
        side=side, kind=old.kind, least_mm=old.least_mm, recommended_mm=old.recommended_mm
    )


def _room_at(side: Side) -> tuple[Field, ...]:
    """Return the fields of the room on one side; of a copied row they stand for its own."""
    reach = partial(length, at="", least=0, most=SPACE_MM)
    return (
        choice(f"{side}-kind", "What for", "", choices=KINDS),
        reach(f"{side}-least", "Least", what="the least", empty=0),
        reach(f"{side}-wanted", "Recommended", what="the recommended room", optional=True),
        reach(f"{side}-manual", "The manual asks", what="what the manual asks", optional=True),
    )


_size = partial(length, least=10, most=20_000)
OWN = Table(
    OwnKit,
    (
        text("name", "Name", "name", check=lambda name: "" if name else "give it a name"),
        choice("group", "Group", "group", choices=[(group, group) for group in GROUPS]),
        _size("width", "Width", "width_mm", what="the width", example="1.20 m"),
        _size("depth", "Depth", "depth_mm", what="the depth", example="0.80 m"),
        _size("height", "Height", "height_mm", what="the height", example="2.10 m"),
        mass("mass", "Mass", "mass_kg", what="the mass", example="60", least=0.1),
        number("power", "Power, W", "power_w", what="the power in watts", example="none", empty=0,
               show=lambda watts: watts or None),
        money("price", "Price", "price_minor", what="the price"),
        text("feet", "Feet it stands on", "feet", example="4 feet of 60 x 60"),
        *(field for side in SIDES for field in _room_at(side)),
        text("manual", "What else its maker's manual asks", "manual", span=""),
    ),
    fresh={"group": "Machines"},
    shown=_shown,
    finish=_read,
)  # fmt: skip
ROWS = Things(
    "own", OWN, "own_kit", "name", ("{}, kit of one's own", "change {}", "remove {}"),
    "This kit is no longer in the plan.", lambda plan, row: row.name, "row", by_old_name=True,
    limit=(OWN_LIMIT, f"This plan has {{}} rows of its own; it holds at most {OWN_LIMIT}."),
)  # fmt: skip


def _copy(plan: Plan, typed: Typed) -> Done:
    own_id, kit = ROWS.next_id(plan), kit_types().get(typed.text("like"))
    if kit is None:
        raise CommandError("Choose which kit to copy.")
    made = OwnKit(
        id=own_id,
        name=f"My {lower(kit.name)}"[:LABEL_LIMIT],
        group=kit.group,
        like=kit.key,
        width_mm=kit.width_mm,
        depth_mm=kit.depth_mm,
        height_mm=kit.height_mm,
        feet=kit.feet,
        mass_kg=kit.mass_kg,
        power_w=kit.power_w,
        price_minor=kit.price_minor,
    )
    return ROWS.take_in(plan, made)


def _remove(plan: Plan, typed: Typed) -> Done:
    row = ROWS.named(plan, typed)
    standing = sum(piece.type == row.id for piece in plan.pieces)
    if standing:
        many = "One piece" if standing == 1 else f"{standing} pieces"
        are = "is" if standing == 1 else "are"
        raise CommandError(f"{many} on the plan {are} of this kind: take what stands there first.")
    return ROWS.remove(plan, typed)


def edit_own_kit(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit: `copy`, `add`, `change` or `remove`; None if nothing differs.

    `copy` takes `like`, the key of a library row; `add` and `change` take the fields of the table,
    `change` and `remove` the id as `row`. Raises PlanError naming the fields that are wrong,
    CommandError for what cannot be done.
    """
    edits = {"copy": _copy, "add": ROWS.add, "change": ROWS.change, "remove": _remove}
    return command_of(edits, plan, name, fields, "edit", "There is no such change of kit.")
