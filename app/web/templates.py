"""How pages are made of templates: the same settings for the owner's pages and the guests'."""

from __future__ import annotations

from types import CodeType

from flask import Flask
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

from app.forms.choice_words import OPENING_EXAMPLES
from app.model.base import LABEL_LIMIT
from app.scales import MASS
from app.units import minor_digits
from app.web.whole_lengths import PageTemplate
from app.wording import example_length, open_words


class _Compiled(BytecodeCache):
    """What templates were compiled to, for every application of this process.

    Compiling takes longer than filling in: the pages for guests use what those of the owner
    compiled. Code belongs to the text it was made of, so a template that changes is made anew.
    """

    def __init__(self) -> None:
        self._code: dict[tuple[str, str], CodeType] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        bucket.code = self._code.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        if bucket.code is not None:
            self._code[bucket.key, bucket.checksum] = bucket.code


_COMPILED = _Compiled()


def set_templates(app: Flask) -> None:
    """Say how an application reads its templates."""
    app.jinja_env.template_class = PageTemplate
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters["example"] = example_length
    app.jinja_env.filters["minor_digits"] = minor_digits
    app.jinja_env.filters["mass"] = MASS.words
    app.jinja_env.globals["label_limit"] = LABEL_LIMIT
    app.jinja_env.globals["mass_unit"] = MASS.unit
    app.jinja_env.globals["opening_examples"] = OPENING_EXAMPLES
    app.jinja_env.filters["open_words"] = open_words
    app.jinja_env.bytecode_cache = _COMPILED
