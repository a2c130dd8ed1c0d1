"""Reads the forms of a page as a browser would send them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

BARE = {"input", "br", "link", "meta", "hr", "img"}


@dataclass
class Form:
    """One form: where it goes, what its fields hold, and the edits that its buttons name."""

    action: str
    fields: dict[str, str] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    buttons: list[tuple[str, str]] = field(default_factory=list)
    multipart: bool = False

    def edits(self) -> set[str]:
        named = {value for name, value in self.buttons if name == "edit"}
        return named | ({self.fields["edit"]} if "edit" in self.fields else set())


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.open: Form | None = None
        self.select = ""
        self.first = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form" and given.get("method") == "post":
            self.open = Form(given["action"], multipart="enctype" in given)
            self.forms.append(self.open)
        if self.open is None:
            return
        name, value = given.get("name", ""), given.get("value", "")
        if tag in ("input", "select") and name:
            self.open.names.add(name)
        if tag == "input" and name:
            kind = given.get("type", "text")
            if kind == "file" or (kind in ("radio", "checkbox") and "checked" not in given):
                return
            self.open.fields.setdefault(name, value)
        elif tag == "button":
            self.open.buttons.append((name, value))
        elif tag == "select":
            self.select, self.first = name, True
        elif tag == "option" and self.select:
            if self.first or "selected" in given:
                self.open.fields[self.select] = value
            self.first = False

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        elif tag == "select":
            self.select = ""


def forms_of(page: str) -> list[Form]:
    """All forms of a page that change something, in their order."""
    reader = _Reader()
    reader.feed(page)
    return reader.forms
