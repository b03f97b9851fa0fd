"""What a host and its visitors would stumble over, looked for before anything is handed over: links within the site
that lead nowhere, requests to anybody else, files too heavy; and what has changed since the edition before.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from html import unescape
from urllib.parse import unquote, urlsplit

from guide.finding import Finding, Place

__all__ = ["LAST", "Handed", "handed", "host_findings"]

LAST = ("edition.json", "worker.js", "index.html")  # go up last: before, a phone would fetch half an edition
_HEAVIEST_BYTES = 10_000_000  # common practice, no source: several hosts refuse files of 25 MB, some far less
_ELEMENT = re.compile(r"<(a|area|form|img|iframe|link|script|source|use)\b([^>]*)>")
_ATTRIBUTE = re.compile(r'\b(href|src|action|srcset)="([^"]*)"')
_ID = re.compile(r'\bid="([^"]+)"')
_OUTSIDE = re.compile(r"(?:https?:)?//", re.IGNORECASE)
_ELSEWHERE = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)
_NAMES_ONLY = re.compile(r'\brel="(canonical|alternate)"')  # a link that is named, and asked for by nobody at once
_LED = ("a", "area")  # elements that lead elsewhere only when they are pressed


@dataclass(frozen=True, slots=True)
class Handed:
    """What differs between what was handed over last and what is now, by output name, in order."""

    added: tuple[str, ...]
    changed: tuple[str, ...]
    gone: tuple[str, ...]

    @property
    def upload(self) -> tuple[str, ...]:
        """What has to go up, in the order in which it should."""
        names = [*self.added, *self.changed]
        return (*sorted(name for name in names if name not in LAST), *(name for name in LAST if name in names))


def handed(before: Mapping[str, bytes], now: Mapping[str, bytes]) -> Handed:
    """Return what differs between two sites."""
    both = sorted(before.keys() & now.keys())
    return Handed(
        tuple(sorted(now.keys() - before.keys())),
        tuple(name for name in both if before[name] != now[name]),
        tuple(sorted(before.keys() - now.keys())),
    )


def host_findings(site: Mapping[str, bytes], address: str = "") -> tuple[Finding, ...]:
    """Return what is wrong with a finished site, in order of file and line; ``address`` is where it is published."""
    found = [finding for name in sorted(site) if name.endswith(".html") for finding in _of_page(site, name, address)]
    for name, data in sorted(site.items()):
        if len(data) > _HEAVIEST_BYTES:
            weight, most = (f"{size / 1_000_000:.0f}" for size in (len(data), _HEAVIEST_BYTES))
            found.append(Finding.of("press.file-too-heavy", Place(name), file=name, weight=weight, most=most))
    return tuple(dict.fromkeys(found))


def _of_page(site: Mapping[str, bytes], name: str, address: str) -> Iterator[Finding]:
    text = site[name].decode("utf-8")

    @cache
    def ids(page: str) -> frozenset[str]:
        return frozenset(unescape(one) for one in _ID.findall(site[page].decode("utf-8")))

    for element in _ELEMENT.finditer(text):
        for kind, value in _ATTRIBUTE.findall(element[2]):
            typed = unescape(value)
            for link in (one.split()[0] for one in typed.split(",")) if kind == "srcset" else (typed,):
                if _OUTSIDE.match(link):
                    if element[1] in _LED or _NAMES_ONLY.search(element[2]):
                        continue
                    yield Finding.of("press.outside-request", _place(name, text, element.start()), link=link)
                elif not _ELSEWHERE.match(link) and not _leads(site, name, link, address, ids):
                    yield Finding.of("press.dead-link", _place(name, text, element.start()), link=link)


def _leads(site: Mapping[str, bytes], name: str, link: str, address: str, ids: Callable[[str], frozenset[str]]) -> bool:
    """Tell whether a link within the site leads to a file, and to a part of it where it names one."""
    path, _, part = link.partition("#")
    path = path.partition("?")[0]
    base = urlsplit(address).path
    if path.startswith("/") and base and path.startswith(base):
        there = unquote(path[len(base) :])
    else:
        there = posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(path))) if path else name
    there = there or "index.html"
    if there not in site:
        return False
    if not part or "=" in part or part.startswith("-") or not there.endswith(".html"):
        return True  # what a script reads is no part
    return unquote(part) in ids(there)


def _place(name: str, text: str, at: int) -> Place:
    return Place(name, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))
