"""From everything worked out to a finished site in memory: pages, data, pictures, the theme's own files.

Nothing is written here; `guide.press.publish` does that, once and whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from guide.dating.key import Key
from guide.facts.types import Guide
from guide.finding import Finding, Place
from guide.limits.types import LimitsResult
from guide.pages.kinds.sheet import too_long
from guide.pages.listing import FILES, PAGES, places_of
from guide.pages.parts.naming import safe_name
from guide.pages.parts.texts import texts_of
from guide.pages.shelf import Drawing, Page, Photograph, Shelf
from guide.press.archive import zip_of
from guide.press.cache import Cache
from guide.press.drawings import read_drawing
from guide.press.offline import offline_files
from guide.press.photographs import make_photograph
from guide.press.render import Renderer, stub
from guide.press.scripts import Scripts
from guide.press.single_file import single_file
from guide.words.say import load_words

__all__ = ["look_over", "make_shelf", "make_site"]

NOT_OURS = frozenset({"thumbs.db", "desktop.ini"})  # what a system puts into a folder of pictures by itself
LAST = "downloads"  # the page that tells what the finished files weigh


def make_site(
    folder: Path,
    theme: Path,
    *,
    guide: Guide,
    limits: LimitsResult,
    key: Key,
    tally: Any = None,
    cache: Cache | None = None,
) -> tuple[dict[str, bytes], tuple[Finding, ...]]:
    """Return the site (output name to bytes) and what the pages and the press find wrong, in order.

    ``folder`` is the content folder, for its pictures; ``theme`` a folder in themes/; ``cache`` holds photographs
    already made ready.
    """
    store = cache or Cache(None)
    drawings, photographs, found = _pictures(folder, store)
    shelf = make_shelf(guide, limits, key, tally, drawings, photographs)
    scripts = Scripts(theme)
    renderer = Renderer(shelf, theme, scripts)
    site = {photograph.path: photograph.data for photograph in photographs.values()}
    for page in PAGES:
        if page.kind != LAST:
            _render(renderer, page, shelf, site)
    for files in FILES:
        site.update(files(shelf))
    site.update(_stubs(shelf, site))
    site.update(_styles(theme))
    site.update(scripts.files())
    single, alone = single_file(shelf, site, theme, scripts)
    site.update(single)
    weighed = replace(shelf, weights={name: len(data) for name, data in site.items()})
    last = Renderer(weighed, theme, scripts)
    for page in PAGES:
        if page.kind == LAST:
            _render(last, page, weighed, site)
    site.update(offline_files(guide, site))
    site.update(zip_of(site))
    found += [*scripts.findings, *renderer.findings, *alone.findings, *last.findings]
    store.tidy()
    return site, tuple(sorted(dict.fromkeys(found), key=lambda f: f.sort_key))


def look_over(
    folder: Path, theme: Path, *, guide: Guide, limits: LimitsResult, key: Key, cache: Cache | None = None
) -> tuple[Finding, ...]:
    """Return what `make_site` would find wrong with pictures, texts and scripts, and nothing made: all that an editor
    can put right. What is wrong with a theme's templates shows only when they are filled in."""
    drawings, photographs, found = _pictures(folder, cache or Cache(None))
    shelf = make_shelf(guide, limits, key, None, drawings, photographs)
    scripts = Scripts(theme)
    renderer = Renderer(shelf, theme, scripts)
    renderer.look_over(texts_of(guide))
    found += [*scripts.findings, *renderer.findings, *too_long(shelf)]
    return tuple(sorted(dict.fromkeys(found), key=lambda f: f.sort_key))


def _render(renderer: Renderer, page: Page, shelf: Shelf, site: dict[str, bytes]) -> None:
    for address in page.addresses(shelf):
        site[address.path] = renderer.render(page, address)


def make_shelf(
    guide: Guide,
    limits: LimitsResult,
    key: Key,
    tally: Any,
    drawings: Mapping[str, Drawing],
    photographs: Mapping[str, Photograph],
) -> Shelf:
    """Return everything the pages are made from, their addresses included."""
    shelf = Shelf(
        guide=guide,
        limits=limits,
        key=key,
        words=load_words(guide.language),
        tally=tally,
        drawings=drawings,
        photographs=photographs,
    )
    return replace(shelf, places=places_of(shelf))


def _pictures(folder: Path, store: Cache) -> tuple[dict[str, Drawing], dict[str, Photograph], list[Finding]]:
    """Return the pictures that the pages may show, by file name, and what is wrong with them."""
    drawings: dict[str, Drawing] = {}
    photographs: dict[str, Photograph] = {}
    findings: list[Finding] = []
    taken: dict[str, str] = {}
    for path in sorted((folder / "pictures").glob("*")):
        shown = f"pictures/{path.name}"
        if path.name.startswith(".") or path.name.lower() in NOT_OURS or not path.is_file():
            continue
        other = taken.setdefault(path.name.casefold(), path.name)
        if other != path.name:
            findings.append(Finding.of("press.names-differ-in-case.pictures", Place(shown), one=other, other=path.name))
            continue
        if path.suffix.lower() == ".svg":
            drawing, found = read_drawing(path, shown)
            if drawing is not None:
                drawings[path.name] = drawing
        else:
            photograph, found = make_photograph(path, shown, store)
            if photograph is not None:
                photographs[path.name] = photograph
        findings += found
    return drawings, photographs, findings


def _stubs(shelf: Shelf, site: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return pages at the addresses that records had under former ids, each leading to the present one."""
    stubs = {}
    kinds: tuple[tuple[str, Mapping[str, Any]], ...] = (
        ("mark", shelf.guide.marks),
        ("interior", shelf.guide.interiors),
        ("period", shelf.guide.periods),
    )
    for kind, records in kinds:
        for identity, record in records.items():
            there = shelf.places.get((kind, identity))
            for former in record.formerly if there else ():
                path = f"{kind}s/{safe_name(former, '.html')}"
                if path not in site and there is not None:
                    stubs[path] = stub(shelf, path, there)
    return stubs


def _styles(theme: Path) -> dict[str, bytes]:
    """Return the theme's style sheets."""
    return {
        f"style/{path.name}": path.read_bytes().replace(b"\r\n", b"\n")
        for path in sorted((theme / "style").glob("*.css"))
    }
