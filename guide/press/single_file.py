"""The single file: the whole guide in one HTML file, to take along.

It is for phones: it can be sent through a messaging program and opened by itself, because a tapped
file has no neighbours there. It holds what the theme's ``single.html`` puts in: by default the key, the walk-round
card, which adds itself up without scripts, and every mark with its drawings; the rest of the guide stays behind. It is
made from the very templates that the pages are made from; only links, drawings, photographs and scripts are given to
them in another way. Each drawing stands in it once and is shown wherever it is needed. Its content policy names the
digests of its own scripts and styles and allows no others.

``single.html`` finds what every template does (`guide.press.render`), and besides:

``fill(template, kind, id="", **more)``
    a template filled in as for a page of that kind, with ``more`` (such as ``level``, that of its highest heading);
``anchor(kind, id="")``
    the id of the element that a link to this page leads to; a page of a kind that has none here has no link either;
``scripts(*names)``
    the text of these scripts and all that they need; ``inlined(*names)``: the text of style sheets;
``policy(styles, *scripts)``
    the content policy that allows these texts alone;
``drawings()``
    the drawings that the file shows, each once: to be put in after all else that shows any;
``pictured``, ``left``
    mark, form and picture file of every form that the file has room to show; of how many marks it has none.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from markupsafe import Markup

from guide.dating.belief.evidence import Session
from guide.facts.types import Mark
from guide.finding import Finding, Place
from guide.pages.kinds.key import key_data
from guide.pages.listing import CARRIED, PAGES
from guide.pages.parts.beside_a_car import pictures_of
from guide.pages.parts.page_data import script_of, script_with
from guide.pages.parts.pictures import further_pictures, shown_with
from guide.pages.shelf import Address, Drawing, Page, Photograph, Shelf
from guide.press.face import Face
from guide.press.policy import policy_of
from guide.press.render import Renderer
from guide.press.scripts import Scripts, ThemeFault, output_name
from guide.press.theme import Theme
from guide.sentence import sentence

__all__ = ["MOST_BYTES", "SINGLE", "SingleFile"]

SINGLE = "guide-in-one-file.html"
MOST_BYTES = 2_000_000  # light enough for a messaging program over a weak signal; common practice, no source
_PAGE_OF = {page.kind: page for page in PAGES}
_PAGE = Page("single", lambda _shelf: (), lambda _shelf, _address: {}, "single.html")


class SingleFile(Renderer):
    """Fills the theme's templates for one file that stands alone, made from a finished ``site``."""

    def __init__(
        self, shelf: Shelf, theme: Theme, scripts: Scripts | None, face: Face | None, site: Mapping[str, bytes]
    ) -> None:
        super().__init__(shelf, theme, scripts, face)
        self.site = site
        self.used: set[str] = set()  # the files of the site that it holds
        self.wanted: set[str] = set()  # what links lead to
        self.held: set[str] = set()  # what is there for them
        self._symbols: dict[Drawing, int] = {}
        self._drawn = list(shelf.guide.marks.values())  # the marks whose pictures it shows
        self._left = set[str]()  # the pictures for which it has no room

    def files(self) -> dict[str, bytes]:
        """Return the file; what is wrong with it gathers in ``findings``."""
        here = Address("single", "", SINGLE, self.shelf.guide.title)
        data = self.render(_PAGE, here)
        while len(data) > MOST_BYTES and self._drawn:
            self._leave_behind(len(data) - MOST_BYTES)
            self.wanted, self.held, self._symbols = set(), set(), {}
            data = self.render(_PAGE, here)
        for part in sorted(self.wanted - self.held) if data else ():
            fault = sentence("press.theme.not-inside", part=part)
            self.add(Finding.of("press.theme-broken", Place(f"{self.theme.name}/pages/{_PAGE.template}"), why=fault))
        return {SINGLE: data}

    def globals_of(self, here: Address) -> dict[str, Any]:
        given = super().globals_of(here)

        def fill(template: str, kind: str, identity: str = "", **more: Any) -> Markup:
            address = self.shelf.places[kind, identity]
            return Markup(self.fill(template, _PAGE_OF[kind], address, {**given, "page": address, **more}))

        return {
            **given,
            "fill": fill,
            "anchor": self._anchor,
            "inlined": self._inlined,
            "policy": _policy,
            "drawings": self._drawings,
            "pictured": pictures_of(self._drawn),
            "left": len(self.shelf.guide.marks) - len(self._drawn),
        }

    def _leave_behind(self, over: int) -> None:
        """Leave out the pictures of the marks that the key would ask last, until it is lighter by so many bytes."""
        key = self.shelf.key
        looks = key.dated(Session(reach=tuple(self.shelf.model.reaches))).looks
        gains = {key.model.marks[look.mark].id: look.gain_bits for look in looks}
        self._drawn.sort(key=lambda mark: -round(gains.get(mark.id, 0.0), 6))
        while over > 0 and self._drawn:
            over -= sum(map(self._weight, self._files_of(self._drawn.pop())))
        self._left = {file for mark in self.shelf.guide.marks.values() for file in self._files_of(mark)}
        self._left -= {file for mark in self._drawn for file in self._files_of(mark)}

    def _files_of(self, mark: Mark) -> set[str]:
        rows = [row for form in mark.forms.values() for row in shown_with(self.shelf, mark, form)]
        return {form.picture for form in mark.forms.values()} | {
            row["file"] for row in (*rows, *further_pictures(self.shelf, mark))
        }

    def _weight(self, file: str) -> int:
        """Return by how many bytes a picture makes the file heavier."""
        if file in self.shelf.photographs:
            return len(self.shelf.photographs[file].lightest.data) * 4 // 3
        return len(self.shelf.drawings[file].markup.encode()) if file in self.shelf.drawings else 0

    def _picture(self, here: Address, file: str, label: str) -> Markup | None:
        return None if file in self._left else super()._picture(here, file, label)

    def has(self, kind: str, identity: str = "") -> bool:
        return kind in CARRIED and super().has(kind, identity)

    def link(self, here: Address, there: Address, part: str = "") -> str | None:  # noqa: ARG002  (all stands here)
        if there.kind not in CARRIED:
            return None
        self.wanted.add(_id_of(there.kind, there.id))
        return f"#{_id_of(there.kind, there.id)}"

    def offered(self, here: Address, name: str) -> str:  # noqa: ARG002  (no other file is with this one)
        return ""

    def drawn(self, drawing: Drawing) -> Drawing:
        at = self._symbols.setdefault(drawing, len(self._symbols))
        return Drawing(drawing.box, f'<use href="#d{at}"/>')

    def image(self, here: Address, photograph: Photograph, label: str) -> Markup:  # noqa: ARG002  (as above)
        """Return the element that shows a photograph, which holds it in its least width."""
        light = photograph.lightest
        kind = "png" if light.path.endswith(".png") else "jpeg"
        held = f"data:image/{kind};base64,{base64.b64encode(light.data).decode()}"
        self.used.add(light.path)
        return Markup('<img class="photograph" src="{}" alt="{}" width="{}" height="{}" loading="lazy">').format(
            held, label, light.width, light.height
        )

    def larger(self, here: Address, file: str, label: str) -> Markup:
        """Return a picture: there is no larger one to lead to."""
        return self._picture(here, file, label) or Markup("")

    def scripted(self, here: Address, names: Iterable[str], loaded: set[str]) -> Iterator[Markup]:  # noqa: ARG002
        """Yield the texts of scripts, each once."""
        for name in names:
            if name not in loaded:
                loaded.add(name)
                yield self._script(name)

    def _script(self, name: str) -> Markup:
        if name == "data/key":
            return Markup(script_of("key", key_data(self.shelf, alone=True)).decode())
        if name == "data/model":  # with the words of its parts: no other file is with this one
            return Markup(script_with("model", self.shelf.key.dumped).decode())
        text = self._text_of(output_name(name)) if name.startswith("data/") else self.scripts.text(name)
        return _whole(name, text, "</script")

    def _anchor(self, kind: str, identity: str = "") -> str:
        self.held.add(_id_of(kind, identity))
        return _id_of(kind, identity)

    def _inlined(self, *names: str) -> Markup:
        return Markup("\n").join(_whole(name, self._text_of(name), "</style") for name in names)

    def _text_of(self, name: str) -> str:
        if name not in self.site:
            raise ThemeFault(sentence("press.theme.no-style", name=name))
        self.used.add(name)
        return self.site[name].decode()

    def _drawings(self) -> Markup:
        return Markup("").join(
            Markup(f'<symbol id="d{at}" viewBox="{one.box}"><g class="drawing">{one.shapes}</g></symbol>')
            for one, at in self._symbols.items()
        )


def _id_of(kind: str, identity: str) -> str:
    return f"{kind}-{identity}" if identity else kind


def _whole(name: str, text: str, end: str) -> Markup:
    """Return a text that stands in an element of its own. Raises ThemeFault where it would end that element."""
    if end in text.lower():
        raise ThemeFault(sentence("press.theme.ends-its-element", name=name))
    return Markup(text)


def _policy(styles: str, *scripts: str) -> Markup:
    return Markup(policy_of(styles, *scripts, besides="img-src data:"))  # signs and digests, nothing to escape
