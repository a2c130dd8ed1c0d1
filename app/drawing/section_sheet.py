"""The section of a headroom snag as a sheet true to scale, with frame and title block."""

from __future__ import annotations

from app.checks.snag import Snag
from app.drawing.cautions import CAUTIONS, WHO_DECIDES
from app.drawing.ink import CUT_MM, FONT, INK, SMALL_MM, THIN_MM, THING_MM, WHITE, sheet_look
from app.drawing.ink import STOP as STOP_INK
from app.drawing.lettering import wrap
from app.drawing.paper import MARGIN_MM, SCALES, Box, SheetError, paper_of, scale_words
from app.drawing.plan_sheet import Sheet, TitleFields
from app.drawing.primitives import Group, Item, Polygon, Text
from app.drawing.section import Drawn, drawn_section
from app.drawing.section_words import FIGURE_MM, NAME_MM, TINY_MM, VERDICT_MM
from app.drawing.sheet_words import (
    TITLE_MM,
    TitleWords,
    heading,
    hundred_mm,
    scale_bar,
    title_block,
)
from app.drawing.svg import Look, document
from app.scene.build import Scene
from app.units import Units, format_length

TITLE_WIDE_MM = 86.0
_AIR_MM = 5.0
_OK_INK = "#2a6147"
_CARE_INK = "#7a4f00"
_WORDS_MM = TITLE_MM - 16.0


def section_sheet(
    scene: Scene, snag: Snag, paper: str = "A4", fields: TitleFields | None = None
) -> Sheet:
    """Draw a headroom snag's section on paper, lying, at the largest scale that fits.

    Raises ValueError for a snag without a section, SheetError for an unknown paper or a room too
    high for it.
    """
    drawn = drawn_section(scene, snag)
    size = paper_of(paper)
    width, height = size.long_mm, size.short_mm
    frame = Box(MARGIN_MM, MARGIN_MM, width - 2 * MARGIN_MM, height - 2 * MARGIN_MM)
    figure = Box(frame.x, frame.y, frame.width, frame.height - TITLE_MM)
    scale = _scale(drawn, figure, scene, size.key)
    fields = fields or TitleFields()
    words = TitleWords(
        scene.plan.name,
        scale_words(scale),
        size.key,
        fields.revision,
        fields.date,
        fields.drawn_for or scene.plan.drawn_for,
        _person(scene, snag),
    )
    x0, y0, x1, y1 = drawn.bounds
    at = (
        round(figure.x + figure.width / 2 - (x0 + x1) / 2 / scale, 3),
        round(figure.y + figure.height / 2 - (y0 + y1) / 2 / scale, 3),
    )
    block = Box(frame.right - TITLE_WIDE_MM, frame.bottom - TITLE_MM, TITLE_WIDE_MM, TITLE_MM)
    foot = Box(frame.x + _AIR_MM, block.y, block.x - frame.x - 2 * _AIR_MM, TITLE_MM)
    items: list[Item] = [
        Polygon(((0, 0), (width, 0), (width, height), (0, height)), "page"),
        Polygon(
            (
                (frame.x, frame.y),
                (frame.right, frame.y),
                (frame.right, frame.bottom),
                (frame.x, frame.bottom),
            ),
            "frame",
        ),
        Group(drawn.items, "figure", (("scale", str(scale)),), at, scale=1 / scale),
        Group(_foot(foot, snag, scene.plan.units), "words"),
        Group(title_block(words, block), "title-block"),
        Group(
            scale_bar(foot.x, foot.bottom - 10, foot.width - 112, scale, scene.plan.units),
            "scale-bar",
        ),
        Group(hundred_mm(foot.right - 104, foot.bottom - 10, scene.plan.units), "true-length"),
    ]
    svg = document(
        items,
        {
            "width": f"{width:g}mm",
            "height": f"{height:g}mm",
            "viewBox": f"0 0 {width:g} {height:g}",
            "font-family": FONT,
            "color": INK,
            "role": "img",
        },
        section_look(scale),
        title=f"{scene.plan.name}: {drawn.title}, {scale_words(scale)} on {size.key}",
    )
    return Sheet(svg, size.key, scale, width, height)


def _person(scene: Scene, snag: Snag) -> str:
    person = next(one for one in scene.plan.people if one.id == snag.person)
    stature = format_length(person.stature_mm, scene.plan.units)
    return f"{person.label} {stature}".strip()


def section_look(scale: int) -> Look:
    """Return the look of every ink of a section at 1:`scale`. Tones are the colour of their ink."""
    line = {"fill": "none", "stroke": INK}

    def width(mm: float) -> str:
        return f"{mm * scale:.4g}"

    def dashed(*lengths: float) -> str:
        return " ".join(width(length) for length in lengths)

    def letters(room_mm: float, bold: bool = False) -> dict[str, str]:
        look = {
            "fill": "currentColor",
            "font-size": f"{max(room_mm, SMALL_MM * scale):.4g}",
            "stroke": WHITE,
            "stroke-width": width(0.8),
            "stroke-linejoin": "round",
            "paint-order": "stroke",
        }
        return look | ({"font-weight": "700"} if bold else {})

    thin = {"stroke-width": width(THIN_MM)}
    thing = {"stroke-width": width(THING_MM)}
    stay = "#f0f0f0"
    own = {
        "stop": {"color": STOP_INK},
        "care": {"color": _CARE_INK},
        "ok": {"color": _OK_INK},
        "cut-face": {"fill": stay},
        "cut": line | {"stroke-width": width(CUT_MM)},
        "covering": {"fill": "#444444"},
        "joist-end": line | thing | {"fill": stay},
        "joist-side": line | thing | {"fill": stay},
        "beyond": line | thin | {"stroke-dasharray": dashed(1.6, 1.0)},
        "seen": line | {"stroke-width": width(0.18), "fill": WHITE},
        "body": {"fill": "#c6d0d5"},
        "far": {"fill": "#e2e8ea"},
        "plate": {"fill": "#222222", "fill-opacity": "0.82"},
        "sleeve": {"fill": "#9a9a9a"},
        "bar-middle": line | thin | {"fill": WHITE},
        "handle": line | {"stroke-width": width(0.8)},
        "rope": line | thin | {"stroke-dasharray": dashed(1.4, 0.9)},
        "wash": {"fill": "currentColor", "fill-opacity": "0.14"},
        "top": {
            "stroke": "currentColor",
            "stroke-width": width(0.2),
            "stroke-dasharray": dashed(0.8, 0.8),
        },
        "dim": {"stroke": "currentColor", "stroke-width": width(0.2)},
        "tick": {"stroke": "currentColor", "stroke-width": width(THING_MM)},
        "fig": letters(FIGURE_MM, True),
        "name": letters(NAME_MM, True),
        "verdict": letters(VERDICT_MM, True),
        "tiny": letters(TINY_MM),
    }
    return {**sheet_look(scale), **own}


def _scale(drawn: Drawn, figure: Box, scene: Scene, paper: str) -> int:
    x0, y0, x1, y1 = drawn.bounds
    for scale in SCALES[scene.plan.units]:
        wide, high = (x1 - x0) / scale, (y1 - y0) / scale
        if wide + _AIR_MM <= figure.width and high + _AIR_MM <= figure.height:
            return scale
    raise SheetError(f"the section is too large for {paper}: take a larger paper")


def _foot(box: Box, snag: Snag, units: Units) -> tuple[Item, ...]:
    """Letter the snag's sentence and the cautions that belong to it."""
    items: list[Item] = [heading(box.x, box.y + 1.5, snag.who)]
    told = [c for c in CAUTIONS if c.subject in ("Overhead loads", "Lifting alone")]
    lines = [
        *wrap(snag.worded(units), SMALL_MM, box.width),
        *(
            line
            for caution in told
            for line in wrap(f"{caution.subject}: {caution.line}", SMALL_MM, box.width)
        ),
        *wrap(WHO_DECIDES, SMALL_MM, box.width),
    ]
    step = min(SMALL_MM * 1.4, (_WORDS_MM - 8.0) / max(1, len(lines) - 1))
    items += [
        Text((box.x, box.y + 9.0 + i * step), line, "small", "start")
        for i, line in enumerate(lines)
    ]
    return tuple(items)
