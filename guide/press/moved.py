"""Old addresses: a page at each that leads on to the present one, and the same as hosts' own lists of what moved.

A record that was renamed says so with ``formerly:``. Each page that was named by the old id, alone or with another
record, is led from: a mark's, and those of its forms two by two; a period's, its sheets, its timeline. So is a page
that tells two apart from its name while, in an edition that was kept, they stood the other way round. What a fragment
named before stays where it was, as an empty element beside the new one (in the theme's templates).
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Container, Iterator, Mapping, Sequence
from html import escape
from typing import Any
from urllib.parse import urlsplit

from guide.pages.kinds.tell_forms_apart import addresses_left
from guide.pages.parts.naming import absolute_link, relative_link, safe_name
from guide.pages.shelf import Address, Shelf, once
from guide.press.offline import UNMARKED
from guide.press.policy import policy_of
from guide.press.scripts import output_name

__all__ = ["APACHE", "PATHS", "REDIRECTS", "leads_on", "moved_files", "path_of"]

REDIRECTS, APACHE = "_redirects", ".htaccess"
# How the name of a page is made of the ids in its address, by kind: what `guide.pages.kinds` does, which a test holds.
PATHS = {
    "mark": "marks/{}",
    "seen": "seen/{}",
    "area": "areas/{}",
    "period": "periods/{}",
    "interior": "interiors/{}",
    "sheet": "sheets/{}",
    "timeline": "timeline/{}-{}",
    "tally": "tally/{}-{}",
    "apart": "apart/{}-or-{}",
    "forms": "forms/{}-{}-or-{}",
}
_TOLD_APART = ("apart", "forms")  # whose two stand in an address in the order in which they are typed
_OWN_SCRIPTS = "script-src 'self'"
_TWO = {"sheet": "sheets/{}-{}"}  # of a kind whose address may hold one id or two


def path_of(kind: str, ids: Sequence[str]) -> str:
    """Return the output name of a page of a kind whose address holds these ids."""
    pattern = _TWO.get(kind, PATHS[kind]) if len(ids) > 1 else PATHS[kind]
    folder, name = pattern.split("/")
    return f"{folder}/{safe_name(name.format(*ids), '.html')}"


def _moved(shelf: Shelf, pages: Container[str]) -> dict[str, Address]:
    """Return where each old address leads; a page that is there is never led away from."""
    found: dict[str, Address] = {}
    for old, there in addresses_left(shelf):
        found[old.path] = there
        found |= dict.fromkeys(_former_paths(shelf, old), there)
    for address in shelf.places.values():
        found |= dict.fromkeys(_former_paths(shelf, address), address)
    return {path: there for path, there in sorted(found.items()) if path not in pages}


def _former_paths(shelf: Shelf, address: Address) -> Iterator[str]:
    """Yield what a page was named while one or more of the records in its address had an id of old."""
    if not address.id or address.kind not in PATHS:
        return
    ids = address.id.split("/")
    named = [(one, *former) for one, former in zip(ids, _formers(shelf, address.kind, ids), strict=True)]
    for *of, one, other in itertools.product(*named) if address.kind in _TOLD_APART else ():
        if (other, one) in _orders_before(shelf).get(tuple(of), ()):
            yield path_of(address.kind, (*of, other, one))
    if any(len(one) > 1 for one in named):
        for each in itertools.product(*named):
            if list(each) != ids:
                yield path_of(address.kind, each)


@once
def _orders_before(shelf: Shelf) -> Mapping[tuple[str, ...], frozenset[tuple[str, str]]]:
    """Return every two, the first before the other, as some edition that was published had them: forms by the id of
    their mark then, periods and interiors by nothing."""
    found: dict[tuple[str, ...], set[tuple[str, str]]] = {}
    for edition in shelf.guide.editions:
        orders = [((), list(edition.named[kind])) for kind in ("periods", "interiors")]
        of_marks = [((mark.id,), [form.id for form in mark.forms]) for mark in edition.marks]
        for of, ids in [*orders, *of_marks]:
            found.setdefault(of, set()).update(itertools.combinations(ids, 2))
    return {of: frozenset(pairs) for of, pairs in found.items()}


def _formers(shelf: Shelf, kind: str, ids: Sequence[str]) -> list[tuple[str, ...]]:
    """Return the ids of old of each record that an address names."""
    guide = shelf.guide
    if kind == "forms":
        mark = guide.marks[ids[0]]
        return [mark.formerly, *(mark.forms[one].formerly for one in ids[1:])]
    records: dict[str, tuple[Mapping[str, Any], ...]] = {
        "mark": (guide.marks,),
        "seen": (guide.marks,),
        "area": (guide.areas,),
        "period": (guide.periods,),
        "interior": (guide.interiors,),
        "sheet": (guide.periods, guide.interiors),
        "apart": tuple({**guide.periods, **guide.interiors, **guide.series} for _ in ids),
        "timeline": ({}, {**guide.areas, **guide.periods}),
        "tally": ({}, guide.areas),
    }
    each = zip(ids, records[kind], strict=False)
    return [tuple(getattr(of.get(one), "formerly", ())) for one, of in each]


def leads_on(shelf: Shelf, here: str, there: Address) -> bytes:
    """Return a page for an old address that leads on to the new one, with or without scripts; with them also to the
    part that was asked for."""
    link, title = escape(relative_link(here, there.path)), escape(there.title)
    script = escape(relative_link(here, output_name("moved")))
    return (
        f'<!doctype html><html lang="{escape(shelf.guide.language)}"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy_of(besides=_OWN_SCRIPTS)}">'
        f'<script src="{script}" data-to="{link}"></script>'
        f'<meta http-equiv="refresh" content="0; url={link}"><link rel="canonical" href="{link}">'
        f'<meta name="edition" content="{UNMARKED}"><meta name="robots" content="noindex">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title></head>"
        f'<body><p>{escape(shelf.say("pages.moved"))} <a href="{link}">{title}</a></p></body></html>\n'
    ).encode()


def moved_files(shelf: Shelf, pages: Container[str]) -> dict[str, bytes]:
    """Return the pages at old addresses; where the guide knows its address, also what hosts of two kinds read: a list
    of redirections, and the same for Apache's mod_rewrite."""
    led = _moved(shelf, pages)
    files = {path: leads_on(shelf, path, there) for path, there in led.items()}
    base = urlsplit(shelf.guide.address).path
    if not led or not base:
        return files
    lines = [f"{absolute_link(base, path)} {_on(base, there)} 301" for path, there in led.items()]
    rules = [f"RewriteRule ^{re.escape(path)}$ {_on(base, there)} [R=301,NE,L]" for path, there in led.items()]
    apache = ["<IfModule mod_rewrite.c>", "RewriteEngine On", f"RewriteBase {base}", *rules, "</IfModule>"]
    return {**files, REDIRECTS: "\n".join([*lines, ""]).encode(), APACHE: "\n".join([*apache, ""]).encode()}


def _on(base: str, there: Address) -> str:
    path, sign, part = there.path.partition("#")
    return absolute_link(base, path) + sign + part
