"""From everything worked out to a finished site: pages, data, pictures, the theme's own files.

Nothing is put in its place here; `guide.press.publish` does that, once and whole.
"""

from __future__ import annotations

import gc
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from threading import RLock
from typing import Any

from guide.checks.missing import NOT_PICTURES
from guide.dating.key import Key
from guide.facts.reads import Question
from guide.facts.recall import recalling
from guide.facts.records.pictures import own_photograph
from guide.facts.text.decoding import composed
from guide.facts.texts import texts_of
from guide.facts.types import Guide
from guide.finding import Finding, Place
from guide.limits.types import LimitsResult
from guide.pages.kinds.editions import wrong_by_edition
from guide.pages.listing import CARRIED, FILES, PAGES, places_of
from guide.pages.parts.frontispiece import spots_outside
from guide.pages.parts.masked import hidden_numbers
from guide.pages.shelf import Drawing, Photograph, Shelf
from guide.press.address import address_files
from guide.press.archive import ARCHIVE, zip_of
from guide.press.cache import Cache
from guide.press.concerned import pages_concerned
from guide.press.content_archive import CONTENT, content_files
from guide.press.drawings import read_drawing
from guide.press.face import face_of
from guide.press.fingerprint import fingerprint_of, outline_known
from guide.press.foreign import with_languages_marked
from guide.press.helper import Helper, can_help
from guide.press.moved import moved_files
from guide.press.offline import (
    EDITION,
    MANIFEST,
    WORKER,
    edition_mark,
    installed_files,
    marked,
    offline_files,
    printed_with,
)
from guide.press.printed import PageMade, Reprint
from guide.press.render import Renderer
from guide.press.scripts import Scripts
from guide.press.single_file import SINGLE, SingleFile
from guide.press.site_files import SiteFiles
from guide.press.theme import Theme
from guide.words.say import words_of_pages

__all__ = ["Making", "make_shelf", "make_site"]

_WORKED_OUT = ("data/", "downloads/")  # what `FILES` give
_LATE = frozenset({SINGLE, ARCHIVE, CONTENT, WORKER, EDITION, "downloads.html"})  # what is made of all the rest
_NAMED = re.compile(rb"pictures/[0-9a-f]{16}[.][a-z]+")  # a photograph's output name where a page has it
# kinds of page that rest on much the same, all of them
_ALIKE = (("tally", "seen", "look-for"), ("timeline",), ("interiors", "interior"))
_BY_ITSELF = "card"  # a kind of page that takes long to work out, and by itself
_MANY = 100  # pages: a second process is worth its while for so many
# a page's name, bytes, what is wrong, what was read; or what was worked out for pages
_Handed = tuple[str, bytes, list[Finding], PageMade | None] | dict[Question, Any]
_MUCH = 50_000  # things that may stand in cycles: some MB
LAST = "downloads"  # the page that tells what the finished files weigh


class Making:
    """A site in the making: a page is laid out, a file worked out, when it is first asked for, and then remembered.

    ``folder`` is the content folder, for its pictures; ``cache`` holds photographs already made ready; ``for_editor``
    adds what is never published. Several threads may ask.
    """

    def __init__(
        self,
        folder: Path,
        theme: Theme,
        *,
        guide: Guide,
        limits: LimitsResult,
        key: Key,
        tally: Any = None,
        cache: Cache | None = None,
        reprint: Callable[[Shelf], Reprint] | None = None,
        for_editor: bool = False,
    ) -> None:
        self._store = cache or Cache(None)
        self._theme = theme
        drawings, photographs, self._found = _pictures(folder, self._store)
        self._folder, self._pictured = folder, (drawings, photographs)
        self.shelf = make_shelf(guide, limits, key, tally, drawings, photographs, for_editor=for_editor)
        self._reprint = None if reprint is None else reprint(self.shelf)
        self._found += spots_outside(guide, drawings)
        self._scripts = Scripts(theme)
        self._face = face_of(theme)
        self._renderers = [Renderer(self.shelf, theme, self._scripts, self._face)]
        with self._recalling():
            self._pages = {
                address.path: (page, address)
                for page in PAGES
                if page.kind != LAST
                for address in page.addresses(self.shelf)
            }
        self._at_first = len(self._renderers[0].said)
        self._said: dict[str, list[Finding]] = {}  # what was found on each page made so far
        self._files = list(FILES)
        self._lock = RLock()
        self._photographs = {one.path: one.data for each in photographs.values() for one in (each, *each.smaller)}
        self._site = SiteFiles(self._store.folder)
        if not gc.isenabled():
            gc.freeze()  # facts and what was worked out of them: larger than most sites, and none of it left behind

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What pictures, scripts, and the pages made so far find wrong, in order."""
        found = [
            *self._theme.findings,
            *self._face.findings,
            *self._found,
            *self._scripts.findings,
            *(one for each in self._renderers for one in each.findings),
        ]
        return tuple(sorted(dict.fromkeys(found), key=lambda f: f.sort_key))

    def look_over(self) -> tuple[Finding, ...]:
        """Return what the whole site would find wrong with pictures, texts and scripts, no page being made: all that an
        editor can put right. What is wrong with a theme's templates shows only when they are filled in."""
        self._renderers[0].look_over(texts_of(self.shelf.guide))
        self._at_first = len(self._renderers[0].said)
        return self.findings

    def concerned(self, finding: Finding) -> dict[str, str]:
        """Return the pages that a finding concerns, each with what on it is spoken of, as `pages_concerned` does."""
        return pages_concerned(self.shelf, finding)

    def get(self, name: str) -> bytes | tuple[Finding, ...] | None:
        """Return one page or file, made now if it was not yet; why it cannot be made; None where there is none."""
        with self._lock:
            data = self._get(name)
            if data == b"" and name.endswith(".html"):
                return self.findings
            return data if data is None else printed_with(name, data, self._fingerprint)

    @cached_property
    def _fingerprint(self) -> str:
        known = self._reprint and self._reprint.outline
        return fingerprint_of(known or outline_known(self.shelf.guide, self.shelf.limits))

    def _get(self, name: str) -> bytes | None:
        if name in self._site:
            return self._site[name]
        if name in self._photographs:
            return self._photographs[name]
        if name in self._pages:
            first, before = self._renderers[0], len(self._renderers[0].said)
            self._site.update(
                self._made(name, lambda: {name: first.render(*self._pages[name])}, lambda: len(first.said))
            )
            self._said[name] = first.said[before:]
            _sweep()
        elif name.startswith(_WORKED_OUT):
            while self._files and name not in self._site:
                self._site.update(self._listed(self._files.pop(0)))
        elif name.startswith(("style/", "scripts/")):
            self._site.update(self._theme.styles())
            self._site.update(self._scripts.files())
        elif name in _LATE:
            self.whole()
        elif name.startswith("icons/") or name == MANIFEST:
            self._site.update(installed_files(self.shelf.guide, self._face, self._store))
        else:
            late = {**moved_files(self.shelf, self._pages), **address_files(self.shelf)}
            return with_languages_marked(late, self.shelf).get(name)
        return self._site.get(name)

    def whole(self, told: Callable[[int, int], object] = lambda _done, _pages: None) -> SiteFiles:
        """Return the whole site, output name to bytes; ``told`` is called with how many pages are made, of how many."""
        with self._lock, self._recalling():
            shelf, site = self.shelf, self._site
            self._lay_out(told)
            shelf.key.settle()
            for files in self._files:
                site.update(self._listed(files))
            self._files.clear()
            site.update(self._shown(site))
            site.update(with_languages_marked(moved_files(shelf, self._pages), shelf))
            site.update(with_languages_marked(address_files(shelf), shelf))
            site.update(self._theme.styles())
            site.update(self._scripts.files())
            alone = SingleFile(shelf, self._theme, self._scripts, self._face, site)
            site.update(self._made(SINGLE, alone.files, lambda: len(alone.said), site=site, used=alone.used))
            weighed = replace(shelf, weights={name: site.size(name) for name in site})
            last = Renderer(weighed, self._theme, self._scripts, self._face)
            for page in PAGES:
                if page.kind == LAST:
                    pages = {address.path: last.render(page, address) for address in page.addresses(weighed)}
                    site.update(with_languages_marked(pages, shelf))
            site.update(installed_files(shelf.guide, self._face, self._store))
            mark = edition_mark(site, self._fingerprint)
            for name in tuple(site):  # one by one: what is large does not stand in memory
                site.update(marked({name: site[name]}, mark))
            site.update(offline_files(site, mark, wrong_by_edition(shelf)))
            site.update(content_files(self._folder, shelf, self._pictured, self._store, self._fingerprint))
            site.update(zip_of(site))
            self._renderers += [alone, last]
            self._store.tidy()
            return site

    def _recalling(self) -> AbstractContextManager[None]:
        return recalling(None if self._reprint is None else self._reprint.recall)

    def _lay_out(self, told: Callable[[int, int], object]) -> None:
        """Make all pages, on two cores where there are two and it pays; what is found wrong stands in the pages' order,
        whoever made them."""
        if self._reprint is not None:
            for name in self._pages:
                self._site.update(self._reprint.found(name) or {})
        left = [name for name in self._pages if name not in self._site]
        shared: dict[tuple[str, ...], list[str]] = {}  # pages that rest on much the same, to be made by one
        for name in left:
            page, address = self._pages[name]
            if page.kind not in CARRIED:  # the contexts of these are needed here for the single file
                alike = next((kinds for kinds in _ALIKE if page.kind in kinds), (page.kind, address.id.split("/")[0]))
                shared.setdefault(alike, []).append(name)
        pieces = sorted(shared.values(), key=len, reverse=True)
        helper = None
        if len(left) >= _MANY and can_help(len(pieces)):
            self._renderers[0].compile()
            here = [name for name in left if self._pages[name][0].kind in CARRIED]
            for name in here:  # beforehand, but for what rests on little that others do: much of this serves both
                if self._pages[name][0].kind != _BY_ITSELF:
                    self._get(name)
            helper = Helper(len(pieces), lambda numbers: self._handed(pieces[number] for number in numbers))
        try:
            if helper is not None:
                for name in here:
                    self._get(name)
                done = len(self._pages) - sum(map(len, pieces))
                for number in helper.pieces():
                    told(done + sum(map(len, pieces[:number])), len(self._pages))
                    for name in pieces[number]:
                        self._get(name)
                self._take(helper.made())
            for done, name in enumerate(self._pages, 1):
                self._get(name)
                told(done, len(self._pages))
        finally:
            if helper is not None:
                helper.stop()
        said = [finding for name in self._pages for finding in self._said.get(name, ())]
        self._renderers[0].said[self._at_first :] = said

    def _handed(self, pieces: Iterable[Sequence[str]]) -> Iterator[_Handed]:
        """Make some pages in a second process, and only then yield each with what was found on it and read for it."""
        self._site = SiteFiles(self._store.folder)
        for names in pieces:
            for name in names:
                self._get(name)
        printed = {} if self._reprint is None else self._reprint.printed.made
        if self._reprint is not None:
            yield self._reprint.recall.new
        for name, data in self._site.items():
            yield name, data, self._said.get(name, []), printed.get(name)

    def _take(self, handed: Iterable[_Handed]) -> None:
        for one in handed:
            if isinstance(one, tuple):
                name, data, said, printed = one
                self._site[name], self._said[name] = data, said
                if self._reprint is not None and printed is not None:
                    self._reprint.printed.made[name] = printed
            elif self._reprint is not None:
                self._reprint.recall.new |= one

    def _made(
        self, name: str, make: Callable[[], Mapping[str, bytes]], faults: Callable[[], int] = lambda: 0, **rests_on: Any
    ) -> Mapping[str, bytes]:
        """Return some files: as they were, where they need not be made anew."""

        def spoken() -> Mapping[str, bytes]:
            return with_languages_marked(make(), self.shelf)

        return spoken() if self._reprint is None else self._reprint.of(name, spoken, faults, **rests_on)

    def _listed(self, files: Callable[[Shelf], Mapping[str, bytes]]) -> Mapping[str, bytes]:
        return self._made(f"{files.__module__}.{files.__name__}", lambda: files(self.shelf))

    def _shown(self, site: Mapping[str, bytes]) -> dict[str, bytes]:
        """Return the photographs that some page or data file shows; what nothing shows does not leave the house."""
        if not self._photographs:
            return {}
        named = {name.decode() for data in site.values() for name in _NAMED.findall(data)}
        return {name: data for name, data in self._photographs.items() if name in named}


def _sweep(much: int = _MUCH) -> None:
    """Free what laying pages out has left behind in cycles, once it may be much; what is left then is not looked at
    again. Where Python itself looks for cycles there is nothing to do."""
    if not gc.isenabled() and gc.get_count()[0] > much:
        gc.collect()
        gc.freeze()


def make_site(
    folder: Path, theme: Theme, told: Callable[[int, int], object] | None = None, **made_from: Any
) -> tuple[SiteFiles, tuple[Finding, ...]]:
    """Return the site (output name to bytes) and what the pages and the press find wrong, in order; given what `Making`
    and `Making.whole` are."""
    making = Making(folder, theme, **made_from)
    return making.whole(told) if told else making.whole(), making.findings


def make_shelf(
    guide: Guide,
    limits: LimitsResult,
    key: Key,
    tally: Any,
    drawings: Mapping[str, Drawing],
    photographs: Mapping[str, Photograph],
    *,
    for_editor: bool = False,
) -> Shelf:
    """Return everything the pages are made from, their addresses included.

    Where a form has no drawing, the photograph of its name stands in for it.
    """
    photographs = {**_standing_in(guide, drawings, photographs), **photographs}
    shelf = Shelf(
        guide=guide,
        limits=limits,
        key=key,
        words=words_of_pages(guide.language).hiding(hidden_numbers(guide, limits.lines)),
        tally=tally,
        drawings=drawings,
        photographs=photographs,
        for_editor=for_editor,
    )
    return replace(shelf, places=places_of(shelf))


def _standing_in(
    guide: Guide, drawings: Mapping[str, Drawing], photographs: Mapping[str, Photograph]
) -> dict[str, Photograph]:
    found = {}
    for mark in guide.marks.values():
        for form in mark.forms.values():
            own = own_photograph(mark.id, form.id, photographs)
            if own and form.picture not in drawings:
                found[form.picture] = photographs[own]
    return found


def _pictures(folder: Path, store: Cache) -> tuple[dict[str, Drawing], dict[str, Photograph], list[Finding]]:
    """Return the pictures that the pages may show, by file name, and what is wrong with them."""
    drawings: dict[str, Drawing] = {}
    photographs: dict[str, Photograph] = {}
    findings: list[Finding] = []
    taken: dict[str, str] = {}
    for path in sorted((folder / "pictures").glob("*")):
        name, shown = composed(path.name), f"pictures/{path.name}"
        if path.name.startswith(".") or path.name.lower() in NOT_PICTURES or not path.is_file():
            continue
        other = taken.setdefault(name.casefold(), name)
        if other != name:
            findings.append(Finding.of("press.names-differ-in-case.pictures", Place(shown), one=other, other=name))
            continue
        if path.suffix.lower() == ".svg":
            drawing, found = read_drawing(path, shown)
            if drawing is not None:
                drawings[name] = drawing
        else:
            from guide.press.photographs import make_photograph  # a guide of drawings needs no Pillow

            photograph, found = make_photograph(path, shown, store)
            if photograph is not None:
                photographs[name] = photograph
        findings += found
    return drawings, photographs, findings
