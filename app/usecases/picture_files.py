"""One plan as one file with its pictures: written, read and kept.

A plan without a picture is written as the plain plan file. One with a picture is wrapped:
`{"format": "elbowroom-plan-with-pictures", "version": 1, "plan": <the plain plan file>,
"pictures": {<the id in the plan>: <JPEG, PNG or WebP as base64>}}`.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.errors import Fault, PlanError
from app.library.known import check_known
from app.model.base import json_of
from app.model.plan import Plan
from app.model.sketch import Picture
from app.model.versions import from_data, parse, too_new
from app.scene.build import build_scene
from app.store.entries import State
from app.usecases.picture_reading import PHOTO_SIDE_PX, Drawn, PictureError, read_picture
from app.usecases.plans import Elbowroom

FORMAT = "elbowroom-plan-with-pictures"
VERSION = 1
FIELDS = frozenset({"format", "version", "plan", "pictures"})


@dataclass(frozen=True, slots=True)
class Carried:
    """A plan with the pictures that its file carries, as they came, by the ids of the plan."""

    plan: Plan
    pictures: Mapping[str, bytes]


def export_file(house: Elbowroom, plan_id: str, photos: bool = False) -> tuple[str, str]:
    """Return a file name and the text of the plan's file, its picture in it if it is kept here.

    With `photos` those of its walls and works go along too. Raises NotFoundError.
    """
    name, text = house.export(plan_id)
    data = json.loads(text)
    wanted = [data["picture"]["id"]] if data.get("picture") else []
    if photos:
        wanted += house.open(plan_id).plan.photos
    held = house.store.pictures
    pictures = {
        one: base64.b64encode(held.read(one)).decode("ascii") for one in wanted if held.holds(one)
    }
    if not pictures:
        return name, text
    whole = {"format": FORMAT, "version": VERSION, "plan": data, "pictures": pictures}
    return name, json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def import_file(house: Elbowroom, text: str | bytes) -> State:
    """Keep the plan of a file of either form, with its pictures.

    Each is read and written anew like one that is uploaded, unless the very same one is kept here
    already. Raises PlanError, PictureError; then nothing is kept.
    """
    carried = _read(text)
    plan, pictures = _written_anew(carried.plan, carried.pictures, house.store.pictures.holds)
    return house.store.create(plan, pictures=pictures)


def read_plan_file(text: str | bytes) -> Plan:
    """Read the plan of a file of either form, look up what it names and see that it can be built.

    The pictures it carries must be such as an import takes. Raises PlanError, PictureError.
    """
    carried = _read(text)
    plan, _ = _written_anew(carried.plan, carried.pictures, lambda _: False)
    check_known(plan)
    build_scene(plan)
    return plan


def _read(text: str | bytes) -> Carried:
    data = parse(text)
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        return Carried(from_data(data), {})
    version = data.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise PlanError(Fault("version", f"must be {VERSION}"))
    if version > VERSION:
        raise too_new(version, VERSION)
    if data.keys() != FIELDS:
        raise PlanError(
            Fault("", "a plan with pictures has the fields format, version, plan and pictures only")
        )
    plan = from_data(data["plan"])
    return Carried(plan, _pictures(plan, data["pictures"]))


def _pictures(plan: Plan, given: object) -> dict[str, bytes]:
    """Return the pictures of a file, which are those that its plan shows and no others.

    What lies under the drawing must be there; photos of walls and works may have stayed at home.
    """
    shown = set() if plan.picture is None else {plan.picture.id}
    if not isinstance(given, dict):
        raise PlanError(Fault("pictures", "must be an object with a text for each picture"))
    if shown - given.keys():
        raise PlanError(Fault("pictures", "the picture that the plan shows is missing"))
    if given.keys() - shown - set(plan.photos):
        raise PlanError(Fault("pictures", "there is a picture that the plan does not show"))
    read = {}
    for picture_id, text in given.items():
        try:
            read[picture_id] = base64.b64decode(text, validate=True)
        except (TypeError, ValueError):
            raise PlanError(Fault(f"pictures.{picture_id}", "is not a text in base64")) from None
    return read


def _written_anew(
    plan: Plan, pictures: Mapping[str, bytes], is_here: Callable[[str], bool]
) -> tuple[Plan, dict[str, bytes]]:
    """Return the plan with its pictures as they are written here, and those by their ids.

    One that `is_here` already is left as it is.
    """
    data, written = json_of(plan), {}
    named: dict[str, str] = {}
    for picture_id, given in pictures.items():
        # the id is a digest: what is kept under it is what the file carries
        if hashlib.sha256(given).hexdigest().startswith(picture_id) and is_here(picture_id):
            continue
        lies_under = plan.picture is not None and plan.picture.id == picture_id
        drawn = read_picture(given) if lies_under else read_picture(given, PHOTO_SIDE_PX)
        if lies_under:
            assert plan.picture is not None
            _as_large_as_it_says(plan.picture, drawn)
            data["picture"]["id"] = drawn.id
        named[picture_id] = drawn.id
        written[drawn.id] = drawn.data
    for note in (*data["works"]["tasks"], *data["room"]["walls"]):
        note["photos"] = list(dict.fromkeys(named.get(one, one) for one in note["photos"]))
    return Plan.model_validate(data), written


def _as_large_as_it_says(picture: Picture, drawn: Drawn) -> None:
    if (drawn.width_px, drawn.height_px) != (picture.width_px, picture.height_px):
        raise PictureError(
            f"The picture in the file has {drawn.width_px} x {drawn.height_px} pixels; the plan "
            f"says {picture.width_px} x {picture.height_px}."
        )
