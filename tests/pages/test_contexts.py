"""What a page works out is shown: each key of each page's context, and of the rows in it, is read by a template."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from jinja2.runtime import Context

from guide.pages.listing import PAGES
from guide.pages.shelf import Shelf
from guide.press.render import Renderer
from guide.press.theme import open_theme

# What no template reads in the demo, and why it is there all the same.
UNREAD = {
    "sheet.html: findings": "what is wrong with a page, which the press gathers",
    **dict.fromkeys(
        [f"forms.html: changes.{key}" for key in ("forms", "title")],
        "a changeover is worked out once, for the mark's own page, which gives the reasons; this page leads there",
    ),
    "mark.html: changes.forms": "by which the page of two forms finds its own changeovers",
    "mark.html: clashes.unruled": "in the demo every clash is ruled on",
    "sources.html: rulings.read": "in the demo every ruling sets its statement aside",
    "how-we-know.html: constants.default": "in the demo no default is changed",
    "interiors.html: rows.spans.source": "only an interior's own page names who says so",
}


class Watched(dict[str, Any]):
    """A mapping that tells which of its keys are read, by the path to them."""

    def __init__(self, values: dict[str, Any], path: str, read: set[str], held: set[str]) -> None:
        super().__init__((key, watched(value, f"{path}.{key}", read, held)) for key, value in values.items())
        self.path, self.read = path, read
        held.update(f"{path}.{key}" for key in values)

    def __getitem__(self, key: str) -> Any:
        self.read.add(f"{self.path}.{key}")
        return super().__getitem__(key)


def watched(value: Any, path: str, read: set[str], held: set[str]) -> Any:
    """Return a value of a context with every mapping of texts in it watched."""
    if type(value) is dict and all(isinstance(key, str) for key in value):
        return Watched(value, path, read, held)
    if type(value) in (list, tuple):
        return type(value)(watched(one, path, read, held) for one in value)
    return value


def test_every_key_of_every_context_is_read_by_a_template(shelf: Shelf) -> None:
    names: set[str] = set()

    class Looked(Context):
        """A template's context that tells which names are looked up in it."""

        def resolve_or_missing(self, key: str) -> Any:
            names.add(key)
            return super().resolve_or_missing(key)

    renderer = Renderer(shelf, open_theme())
    renderer._environment.context_class = Looked
    read, held = set[str](), set[str]()
    for page in PAGES:
        for address in page.addresses(shelf):
            given = page.context(shelf, address)
            seen = {key: watched(value, f"{page.template}: {key}", read, held) for key, value in given.items()}
            names.clear()
            assert renderer.render(replace(page, context=lambda *_, seen=seen: seen), address)
            held.update(f"{page.template}: {key}" for key in given)
            read.update(f"{page.template}: {key}" for key in names)
    assert held - read == UNREAD.keys()
