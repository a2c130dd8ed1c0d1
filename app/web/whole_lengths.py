"""Lengths in feet and inches stay whole on a page: no line ends within 3' 3 3/8"."""

from __future__ import annotations

import re
from typing import Any

from jinja2 import Template

NO_BREAK = "\u00a0"
"""The no-break space of Unicode: lengths that are typed or pasted with it are read as ever."""

_FOOT = r"(?:'|&#39;|′)"
_INCH = r'(?:"|&#34;|&quot;|″)'
_WITHIN = re.compile(rf"(?<=\d)({_FOOT}) (?=\d)|(?<=\d) (?=\d+/\d+{_INCH})")
_UNTOUCHED = re.compile(
    r"<!--.*?-->"
    r"|<(script|style|textarea|svg)\b.*?</\1>"
    r"""|<(?:[^<>"']|"[^"]*"|'[^']*')*>""",
    re.DOTALL,
)
"""What is no running text: comments, scripts, what is typed, drawings, and tags with their values.

A value of a field goes back as it stands and means its exact length then, so it is never changed.
"""


def with_whole_lengths(markup: str) -> str:
    """Return a page in whose running text no length in feet and inches can be broken."""
    if _WITHIN.search(markup) is None:
        return markup
    parts, at = [], 0
    for kept in _UNTOUCHED.finditer(markup):
        parts += [_whole(markup[at : kept.start()]), kept.group()]
        at = kept.end()
    return "".join([*parts, _whole(markup[at:])])


def _whole(text: str) -> str:
    return _WITHIN.sub(lambda found: f"{found[1] or ''}{NO_BREAK}", text)


class PageTemplate(Template):
    """A template whose pages, or parts of pages, keep lengths whole."""

    def render(self, *args: Any, **kwargs: Any) -> str:
        """Return the page filled in; a drawing alone as its template makes it."""
        page = super().render(*args, **kwargs)
        return with_whole_lengths(page) if (self.name or "").endswith(".html") else page
