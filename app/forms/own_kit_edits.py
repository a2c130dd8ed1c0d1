"""Kit of one's own, as typed into a form: each edit makes one command."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast, get_args

from app.changes.commands import Change, Command
from app.errors import CommandError
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum, written_sum
from app.library.kit import GROUPS, KitType, kit_types
from app.library.own import stated_space
from app.model.base import json_of
from app.model.own_kit import OwnKit, OwnSpace, Side, SpaceKind
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.units import written

SIDES = cast("tuple[Side, ...]", get_args(Side))
KINDS = cast("tuple[SpaceKind, ...]", get_args(SpaceKind))
SIZE_MM = (10.0, 20_000.0)
SPACE_MM = (0.0, 10_000.0)
MASS_KG = (0.1, 5000.0)
POWER_W = (0.0, 20_000.0)
MANUAL_LIMIT = 500
OWN_LIMIT = 200


def edit_own_kit(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Make the command for an edit: `copy`, `add`, `change` or `remove`; None if nothing differs.

    `copy` takes `like`, the key of a library row; `add` and `change` take the fields of the form
    (see `written_fields`), `change` and `remove` the id as `row`. Raises PlanError naming the
    fields that are wrong, CommandError for what cannot be done.
    """
    if name in ("copy", "add"):
        if len(plan.own_kit) >= OWN_LIMIT:
            raise CommandError(
                f"This plan has {len(plan.own_kit)} rows of its own; it holds at most {OWN_LIMIT}."
            )
        own_id = fresh_id("own", {row.id for row in plan.own_kit})
        made = _copied(own_id, fields) if name == "copy" else _read(plan, own_id, None, fields)
        change = Change(path=("own_kit", own_id), before=None, after=json_of(made))
        return Command(name="edit", says=f"{made.name}, kit of one's own", changes=(change,))
    row = next((one for one in plan.own_kit if one.id == fields.get("row")), None)
    if row is None:
        raise CommandError("This kit is no longer in the plan.")
    if name == "remove":
        return _removed(plan, row)
    if name != "change":
        raise CommandError("There is no such change of kit.")
    after = _read(plan, row.id, row.like, fields)
    if after == row:
        return None
    change = Change(path=("own_kit", row.id), before=json_of(row), after=json_of(after))
    return Command(name="edit", says=f"change {row.name}", changes=(change,))


def _copied(own_id: str, fields: Mapping[str, str]) -> OwnKit:
    kit = kit_types().get(fields.get("like", ""))
    if kit is None:
        raise CommandError("Choose which kit to copy.")
    return OwnKit(
        id=own_id,
        name=f"My {kit.name[:1].lower()}{kit.name[1:]}"[:120],
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


def _removed(plan: Plan, row: OwnKit) -> Command:
    standing = sum(piece.type == row.id for piece in plan.pieces)
    if standing:
        many = "One piece" if standing == 1 else f"{standing} pieces"
        are = "is" if standing == 1 else "are"
        raise CommandError(f"{many} on the plan {are} of this kind: take what stands there first.")
    change = Change(path=("own_kit", row.id), before=json_of(row), after=None)
    return Command(name="edit", says=f"remove {row.name}", changes=(change,))


def _read(plan: Plan, own_id: str, like: str | None, fields: Mapping[str, str]) -> OwnKit:
    typed = Typed(fields, plan.units)
    base = kit_types().get(like or "")
    name = typed.text("name")
    if not name:
        typed.fault("name", "give it a name")
    manual = " ".join(fields.get("manual", "").split())
    if len(manual) > MANUAL_LIMIT:
        typed.fault("manual", f"this has {len(manual)} letters; {MANUAL_LIMIT} is the most")
    sizes = {
        f"{size}_mm": typed.length(size, f"the {size}", SIZE_MM)
        for size in ("width", "depth", "height")
    }
    values = {
        "id": own_id,
        "name": name or "?",
        "group": typed.choice("group", GROUPS),
        "like": like,
        **sizes,
        "feet": typed.text("feet"),
        "mass_kg": typed.number("mass", "the mass in kg", MASS_KG),
        "power_w": typed.number("power", "the power in watts", POWER_W, empty=0.0),
        "price_minor": typed_sum(typed, "price", "the price", plan.currency),
        "manual": manual[:MANUAL_LIMIT],
    }
    spaces = [_space(typed, side, base) for side in SIDES]
    typed.done()
    spaces_json = [json_of(space) for space in spaces if space is not None]
    return OwnKit.model_validate({**values, "spaces": spaces_json})


def _space(typed: Typed, side: Side, base: KitType | None) -> OwnSpace | None:
    """Read the room on one side; None where it is as in the copied row."""
    kind = cast("SpaceKind", typed.choice(f"{side}-kind", KINDS[::-1]))
    least = typed.length(f"{side}-least", "the least", SPACE_MM, empty=0.0)
    wanted = typed.length(f"{side}-wanted", "the recommended room", SPACE_MM, empty=least)
    manual = typed.maybe_length(f"{side}-manual", "what the manual asks", SPACE_MM)
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


def written_fields(plan: Plan, row: OwnKit) -> dict[str, str]:
    """Return the fields of a row as the form shows them."""
    entered = {space.side: space for space in row.spaces}
    base = kit_types().get(row.like or "")
    shown = {
        "name": row.name,
        "group": row.group,
        "width": written(row.width_mm, plan.units),
        "depth": written(row.depth_mm, plan.units),
        "height": written(row.height_mm, plan.units),
        "feet": row.feet,
        "mass": f"{row.mass_kg:g}",
        "power": f"{row.power_w:g}" if row.power_w else "",
        "price": written_sum(row.price_minor, plan.currency),
        "manual": row.manual,
    }
    for side in SIDES:
        space = entered.get(side) or _as_copied(side, base)
        shown[f"{side}-kind"] = space.kind
        for key, length in (("least", space.least_mm), ("wanted", space.recommended_mm)):
            shown[f"{side}-{key}"] = written(length, plan.units) if length else ""
        asked = space.manual_mm
        shown[f"{side}-manual"] = written(asked, plan.units) if asked else ""
    return shown
