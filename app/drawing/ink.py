"""How inks look on paper: three weights of line, lettering of 2.5 mm and more, ink on white.

Only the flags have colours, and their shapes tell them apart without. Weights and sizes are mm
of paper; inside the figure, whose user units are mm of the room, they grow by the scale.
"""

from __future__ import annotations

from app.drawing.svg import Look

INK = "#111111"
GREY = "#555555"
WHITE = "#ffffff"
STOP, CARE, NOTE = "#b3261e", "#e0a526", "#4d6470"

CUT_MM, THING_MM, THIN_MM = 0.5, 0.28, 0.13
LETTER_MM = 3.0
SMALL_MM = 2.5
FONT = "system-ui, 'Segoe UI', Roboto, 'DejaVu Sans', Arial, sans-serif"

_FIGURE: dict[str, dict[str, float | str]] = {
    "floor": {"fill": "none"},
    "wall": {"fill": "none", "stroke": INK, "stroke-width": CUT_MM, "stroke-linejoin": "miter"},
    "column-ground": {"fill": WHITE},
    "hatch-line": {"stroke": GREY, "stroke-width": THIN_MM},
    "space-line": {"stroke": "#8a8a8a"},
    "leaf": {"stroke": INK, "stroke-width": CUT_MM},
    "swing": {"fill": "none", "stroke": GREY, "stroke-width": THIN_MM},
    "overhead": {"fill": "none", "stroke": INK, "stroke-width": 0.18, "dash": "2.4 1.2"},
    "low": {"fill": "none", "stroke": INK, "stroke-width": 0.18, "dash": "3 0.8 0.6 0.8"},
    "joist": {"stroke": GREY, "stroke-width": THIN_MM, "dash": "0.8 1.6"},
    "thing": {"fill": WHITE, "stroke": INK, "stroke-width": THING_MM},
    "dark": {"fill": INK, "stroke": INK, "stroke-width": THIN_MM},
    "thin": {"fill": "none", "stroke": INK, "stroke-width": THIN_MM},
    "over": {"fill": "none", "stroke": INK, "stroke-width": 0.2, "dash": "1.4 0.9"},
    "pad": {"fill": "#efefef", "stroke": INK, "stroke-width": THING_MM},
    "mat": {"fill": "none", "stroke": INK, "stroke-width": 0.18, "dash": "1.8 1"},
    "stay-ground": {"fill": WHITE, "stroke": "none"},
    "stay-edge": {"fill": "none", "stroke": INK, "stroke-width": THING_MM},
    "space": {"fill": "none", "stroke": "#8a8a8a", "stroke-width": THIN_MM, "dash": "1 1"},
    "dim": {"fill": "none", "stroke": INK, "stroke-width": THIN_MM},
    "tick": {"stroke": INK, "stroke-width": THING_MM},
    "dimt": {"fill": INK, "font-size": LETTER_MM},
    "tiny": {
        "fill": INK,
        "font-size": 2.55,
        "halo": 0.7,
    },
    "balloon": {"fill": WHITE, "stroke": INK, "stroke-width": 0.2},
    "level-leader": {"stroke": INK, "stroke-width": THIN_MM},
    "level-tip": {"fill": INK, "stroke": WHITE, "stroke-width": 0.2},
    "leader": {"stroke": INK, "stroke-width": THIN_MM},
    "leader-dot": {"fill": INK},
    "numeral": {"fill": INK, "font-size": 2.6},
    "pole": {"stroke": INK, "stroke-width": 0.3},
    "pole-foot": {"fill": INK},
}

_FLAGS: dict[str, dict[str, float | str]] = {
    "flag-stop": {"fill": STOP, "stroke": INK, "stroke-width": 0.2},
    "flag-care": {"fill": CARE, "stroke": INK, "stroke-width": 0.2},
    "flag-note": {"fill": NOTE, "stroke": INK, "stroke-width": 0.2},
    "on-stop": {"fill": WHITE, "font-size": LETTER_MM, "font-weight": "700"},
    "on-care": {"fill": INK, "font-size": LETTER_MM, "font-weight": "700"},
    "on-note": {"fill": WHITE, "font-size": 2.7, "font-weight": "700"},
}

_SHEET: dict[str, dict[str, float | str]] = {
    "page": {"fill": WHITE, "stroke": "none"},
    "frame": {"fill": "none", "stroke": INK, "stroke-width": CUT_MM},
    "edge": {"stroke": INK, "stroke-width": CUT_MM, "stroke-linecap": "square"},
    "rule": {"stroke": INK, "stroke-width": 0.25},
    "hair": {"stroke": "#9a9a9a", "stroke-width": THIN_MM},
    "key-ring": {"fill": WHITE, "stroke": INK, "stroke-width": 0.2},
    "head": {"fill": INK, "font-size": 3.0, "font-weight": "700"},
    "label": {"fill": GREY, "font-size": SMALL_MM},
    "value": {"fill": INK, "font-size": 3.2},
    "title": {"fill": INK, "font-size": 5.0, "font-weight": "700"},
    "row": {"fill": INK, "font-size": 2.7},
    "row-small": {"fill": INK, "font-size": SMALL_MM},
    "size": {"fill": GREY, "font-size": SMALL_MM},
    "small": {"fill": INK, "font-size": SMALL_MM},
    "small-bold": {"fill": INK, "font-size": SMALL_MM, "font-weight": "700"},
    "key-numeral": {"fill": INK, "font-size": SMALL_MM},
    "measure": {"stroke": INK, "stroke-width": 0.25},
    "bar-dark": {"fill": INK, "stroke": INK, "stroke-width": 0.2},
    "bar-light": {"fill": WHITE, "stroke": INK, "stroke-width": 0.2},
}


def sheet_look(scale: int) -> Look:
    """Return the look of every ink of a sheet whose figure is drawn at 1:`scale`."""
    look = {ink: _attributes(style, scale) for ink, style in _FIGURE.items()}
    for ink, style in _FLAGS.items():
        look[ink] = _attributes(style, scale)
        small = {**style, "font-size": SMALL_MM} if "font-size" in style else style
        look[f"list-{ink}"] = _attributes(small, 1)
    look |= {ink: _attributes(style, 1) for ink, style in _SHEET.items()}
    return look


def size_of(ink: str) -> float:
    """Return the size of an ink's lettering in mm of paper. Raises KeyError for an ink without."""
    for styles in (_FIGURE, _FLAGS, _SHEET):
        if ink in styles:
            return float(styles[ink]["font-size"])
    raise KeyError(ink)


def _attributes(style: dict[str, float | str], factor: float) -> dict[str, str]:
    given: dict[str, str] = {}
    for name, value in style.items():
        if name == "dash":
            given["stroke-dasharray"] = " ".join(
                _number(float(length) * factor) for length in str(value).split()
            )
        elif name == "halo":
            given |= {
                "stroke": WHITE,
                "stroke-width": _number(float(value) * factor),
                "stroke-linejoin": "round",
                "paint-order": "stroke",
            }
        elif isinstance(value, str):
            given[name] = value
        else:
            given[name] = _number(value * factor)
    return given


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")
