"""Pages as pictures, by programs that share nothing with ours or with a browser.

SVG through resvg (usvg and tiny-skia, in Rust), PDF through PDFium (by its own rasterizer, AGG).
"""

import io
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import numpy as np
import pypdfium2
import resvg_py
from fontTools.ttLib import TTFont
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from app.drawing.face import font_file

A_MM = 8
"""Pixels of a millimetre: the thinnest line, 0.13 mm, is one of them wide."""
DARK, PALE = 150, 215
"""What is ink in one picture, and what may still be ink in the other: edges are grey."""

Grey = NDArray[np.uint8]


def of_svg(svg: str) -> Grey:
    made = resvg_py.svg_to_bytes(
        svg_string=svg,
        dpi=A_MM * 25.4,
        background="#ffffff",
        skip_system_fonts=True,
        font_files=list(_fonts()),
    )
    return _grey(Image.open(io.BytesIO(bytes(made))))


def of_pdf(pdf: bytes) -> list[Grey]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [_grey(page.render(scale=A_MM * 25.4 / 72).to_pil()) for page in document]
    finally:
        document.close()


def ink(picture: Grey) -> tuple[float, float, float, float]:
    """How far ink reaches: left, top, right and bottom in mm."""
    ys, xs = np.nonzero(picture < DARK)
    return tuple(each / A_MM for each in (xs.min(), ys.min(), xs.max() + 1, ys.max() + 1))


def alone(one: Grey, other: Grey, within_px: int) -> list[tuple[float, float]]:
    """Where ink of one picture has none of the other near it: places in mm."""
    high, wide = (min(a, b) for a, b in zip(one.shape, other.shape, strict=True))
    near = ndimage.grey_erosion(other[:high, :wide], size=2 * within_px + 1)
    ys, xs = np.nonzero((one[:high, :wide] < DARK) & (near >= PALE))
    return [(x / A_MM, y / A_MM) for x, y in zip(xs.tolist(), ys.tolist(), strict=True)]


def _grey(image: Image.Image) -> Grey:
    return np.asarray(image.convert("L"))


@cache
def _fonts() -> tuple[str, ...]:
    """The two weights as files that are not packed: resvg reads no WOFF."""
    folder, paths = Path(mkdtemp(prefix="elbowroom-fonts-")), []
    for bold in (False, True):
        font = TTFont(font_file(bold))
        font.flavor = None
        paths.append(folder / f"{'bold' if bold else 'regular'}.ttf")
        font.save(paths[-1])
    return tuple(map(str, paths))
