"""A finished sheet: pages of primitives in mm of paper, written as SVG or as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

from app.drawing.face import FAMILY
from app.drawing.ink import LOOK
from app.drawing.pdf import PdfPage, pdf_document
from app.drawing.primitives import Item
from app.drawing.svg import document


class Block(Protocol):
    """Letters a title block."""

    def __call__(self, number: str, goes_on: str = "") -> Item:
        """Return it for a number such as "1 of 2" and the sheet on which its words go on."""


@dataclass(frozen=True)
class Page:
    """What stands on one sheet of paper, in mm of it, and its size in mm.

    `block` letters the title block for a number such as "1 of 2", `number` is the one it has;
    `goes_on` is the number of the sheet that has more words. `words` are those of a page that has
    nothing else.
    """

    ground: tuple[Item, ...]
    width_mm: float
    height_mm: float
    title: str
    block: Block | None = None
    number: str = "1 of 1"
    goes_on: str = ""
    words: tuple[Item, ...] = ()

    @property
    def items(self) -> tuple[Item, ...]:
        """All of it, the title block last."""
        return (
            self.ground
            if self.block is None
            else (*self.ground, self.block(self.number, self.goes_on))
        )

    def numbered(self, number: str, goes_on: str = "") -> Page:
        """Return it with another number in its title block, and that of where its words go on."""
        return replace(self, number=number, goes_on=goes_on)

    def as_svg(self, alone: bool = True) -> str:
        """Write it as an SVG file; one to lie in a page leaves the font to the page."""
        return document(
            self.items,
            {
                "width": f"{self.width_mm:g}mm",
                "height": f"{self.height_mm:g}mm",
                "viewBox": f"0 0 {self.width_mm:g} {self.height_mm:g}",
                "font-family": f"'{FAMILY}', Arial, sans-serif",
                "role": "img",
            },
            LOOK,
            title=self.title,
            alone=alone,
        )


@dataclass(frozen=True)
class Sheet:
    """A finished sheet over as many pages as it takes. `note` tells what is not as was asked."""

    pages: tuple[Page, ...]
    paper: str
    scale: int
    note: str = ""
    pictorial: bool = False
    """Whether it is a view that is not for measuring: its scale says only how large it is drawn."""

    @property
    def width_mm(self) -> float:
        """The width of its first page."""
        return self.pages[0].width_mm

    @property
    def height_mm(self) -> float:
        """The height of its first page."""
        return self.pages[0].height_mm

    @cached_property
    def svgs(self) -> tuple[str, ...]:
        """Every page as an SVG file, in their order."""
        return tuple(page.as_svg() for page in self.pages)

    @property
    def svg(self) -> str:
        """The first page as an SVG file."""
        return self.svgs[0]

    @property
    def more(self) -> tuple[str, ...]:
        """The pages it goes on to, as SVG files."""
        return self.svgs[1:]

    @cached_property
    def inside(self) -> tuple[str, ...]:
        """Every page as SVG to lie in a page that brings the font."""
        return tuple(page.as_svg(alone=False) for page in self.pages)

    def pdf(self) -> bytes:
        """Return it as one PDF file, a page for each page."""
        return as_pdf(self.pages, self.pages[0].title)


def as_pdf(pages: Sequence[Page], title: str) -> bytes:
    """Write pages as one PDF file."""
    return pdf_document(
        [PdfPage(p.items, p.width_mm, p.height_mm, LOOK, p.title) for p in pages], title
    )


@dataclass(frozen=True, slots=True)
class TitleFields:
    """What the title block says beyond the plan's own words; `statures` of people if asked.

    Under a `cover` a sheet leaves to that what it says of the whole plan: cautions, open snags.
    """

    revision: str = ""
    date: str = ""
    drawn_for: str = ""
    statures: bool = True
    cover: bool = False
