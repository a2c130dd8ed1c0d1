"""Reads a picture that a person gives: a photo or scan, made small and written anew."""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass

from app.errors import ElbowroomError

BYTE_LIMIT = 40_000_000
SIDE_LIMIT_PX = 2400
PHOTO_SIDE_PX = 1600
"""Of a photo of the works: enough to see a crack, and sixty of them still fit into one file."""
PIXEL_LIMIT = 80_000_000
KINDS = ("PNG", "JPEG", "WEBP")


class PictureError(ElbowroomError):
    """What was given is no picture that is taken."""

    code = "picture"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture as it is kept: a JPEG of our own making. Its id is a digest of what it holds."""

    id: str
    width_px: int
    height_px: int
    data: bytes


def read_picture(given: bytes, side_px: int = SIDE_LIMIT_PX) -> Drawn:
    """Decode a PNG, JPEG or WebP and write it anew, its longest side at most `side_px`.

    Nothing that came beside the picture (place, camera, hidden parts) is kept. Raises
    PictureError with a sentence for anything else.
    """
    # the library takes long to load and most starts never need it
    from PIL import Image, ImageOps, UnidentifiedImageError

    if not given:
        raise PictureError("No picture was chosen.")
    if len(given) > BYTE_LIMIT:
        raise PictureError(
            f"The picture has {len(given) / 1e6:.0f} MB; at most {BYTE_LIMIT / 1e6:.0f} MB are "
            "taken. Make it smaller, or take a photo of it."
        )
    if b"<svg" in given[:1000].lower():
        raise PictureError("This is an SVG drawing; a photo or scan as PNG, JPEG or WebP is taken.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(given), formats=KINDS) as opened:
                wide, high = opened.size
                if wide * high > PIXEL_LIMIT:
                    raise _too_many(wide, high)
                opened.draft("RGB", (side_px, side_px))
                opened.load()
                upright = ImageOps.exif_transpose(opened)
    except PictureError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many() from None
    except UnidentifiedImageError:
        raise PictureError(
            "This is no picture that can be read: a photo or scan as PNG, JPEG or WebP is taken."
        ) from None
    except (OSError, ValueError, SyntaxError, IndexError, KeyError, OverflowError, EOFError):
        raise PictureError("This picture is damaged and cannot be read to its end.") from None
    upright.thumbnail((side_px, side_px))
    paper = Image.new("RGB", upright.size, "white")
    seen = upright.convert("RGBA")
    paper.paste(seen, mask=seen.getchannel("A"))
    written = io.BytesIO()
    paper.save(written, "JPEG", quality=85, optimize=True)
    data = written.getvalue()
    return Drawn(hashlib.sha256(data).hexdigest()[:32], *paper.size, data)


def _too_many(wide: int = 0, high: int = 0) -> PictureError:
    size = f"{wide:,} x {high:,}" if wide else "far too many"
    return PictureError(
        f"The picture has {size} pixels; at most {PIXEL_LIMIT / 1e6:.0f} million are taken."
    )
