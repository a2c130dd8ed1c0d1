"""Photos that come with forms: written anew and kept beside the plan."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from flask import request

from app.changes.commands import Command
from app.model.plan import Plan
from app.usecases.carrying_out import Fields
from app.usecases.picture_reading import PHOTO_SIDE_PX, read_picture
from app.web.house import house


class PhotoEditor(Protocol):
    """Makes the command of a form, with the id of a photo that came with it."""

    def __call__(
        self, plan: Plan, name: str, fields: Mapping[str, str], photo: str = ""
    ) -> Command | None:
        """Return the command, None where nothing differs."""


def with_photo(editor: PhotoEditor, plan: Plan, edit: str, fields: Fields) -> Command | None:
    """Make the command of a form, with the photo that came with it. Raises PictureError."""
    upload = request.files.get("photo")
    given = b""
    if upload and upload.filename:
        upload.seek(0)
        given = upload.read()
    if not given:
        return editor(plan, edit, fields)
    drawn = read_picture(given, PHOTO_SIDE_PX)
    command = editor(plan, edit, fields, drawn.id)
    if command is not None:
        house().store.pictures.keep(drawn.id, drawn.data)
    return command
