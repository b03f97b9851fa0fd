"""The demo guide as built: every link leads somewhere, every page can be reached, and every page is sound."""

from __future__ import annotations

import pathlib
from collections import Counter
from html.parser import HTMLParser
from typing import NamedTuple
from urllib.parse import unquote, urlsplit

import pytest

from guide.press.single_file import SINGLE
from tests.themes.old_engines import lint_page

_EMPTY = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
LEADS_ON = 'http-equiv="refresh"'  # a page at an address of old
_MAY_STAY_OPEN = {"p", "li", "dt", "dd", "tr", "td", "th", "option"}


class Seen(NamedTuple):
    """What a page holds."""

    ids: Counter[str]
    links: list[str]  # href of links and areas
    loads: list[str]  # what the browser fetches by itself
    labels: list[str]  # ids that labels and descriptions point at
    headings: list[int]
    language: str
    title: str
    unclosed: list[str]
    unnamed: list[str]  # pictures without an alternative text


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.seen = Seen(Counter(), [], [], [], [], "", "", [], [])
        self.open: list[str] = []
        self.language = ""
        self.title = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if "id" in given:
            self.seen.ids[given["id"]] += 1
        if tag == "a" and "href" in given:
            self.seen.links.append(given["href"])
        elif tag in ("script", "img", "link", "source", "iframe"):
            self.seen.loads.extend(given[name] for name in ("src", "href") if name in given)
        for name in ("for", "aria-describedby", "aria-labelledby", "aria-controls"):
            self.seen.labels.extend(given.get(name, "").split())
        if tag == "img" and "alt" not in given:
            self.seen.unnamed.append(given.get("src", "img"))
        if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
            self.seen.headings.append(int(tag[1]))
        self.language = given.get("lang", "") if tag == "html" else self.language
        if tag not in _EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _EMPTY:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open[-1:] == ["title"] and "svg" not in self.open:
            self.title += data

    def handle_endtag(self, tag: str) -> None:
        if tag in self.open and self.open[-1] != tag and self.open[-1] not in _MAY_STAY_OPEN:
            self.seen.unclosed.append(self.open[-1])
        if tag in self.open:
            while self.open.pop() != tag:
                pass
        else:
            self.seen.unclosed.append(f"/{tag}")


def read_page(text: str) -> Seen:
    """Return what a page holds."""
    reader = _Reader()
    reader.feed(text)
    return reader.seen._replace(language=reader.language, title=reader.title.strip())


@pytest.fixture(scope="module")
def pages(built_guide: pathlib.Path) -> dict[str, Seen]:
    """Every page of the demo guide, by its name below the guide."""
    return {
        path.relative_to(built_guide).as_posix(): read_page(text)
        for path in sorted(built_guide.rglob("*.html"))
        if path.name != SINGLE  # which stands by itself
        and LEADS_ON not in (text := path.read_text(encoding="utf-8"))
    }


def test_every_page_says_what_it_may_load_before_it_loads_anything(built_guide: pathlib.Path) -> None:
    """Stubs at old addresses are held to it in test_render.py, the page of findings in test_preview.py."""
    for path in sorted(built_guide.rglob("*.html")):
        policy, loaded = '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; ', ("<link", "<scr")
        text = path.read_text(encoding="utf-8")
        assert -1 < text.find(policy) < min(at for at in map(text.find, loaded) if at >= 0), path.name
        assert "unsafe-" not in text[text.find(policy) :].partition(">")[0]


def test_an_address_of_old_leads_to_a_page_that_is_there(built_guide: pathlib.Path, pages: dict[str, Seen]) -> None:
    left = {path: text for path in built_guide.rglob("*.html") if LEADS_ON in (text := path.read_text("utf-8"))}
    for path, text in left.items():
        file, part = target(path.relative_to(built_guide).as_posix(), read_page(text).links[0])
        assert file in pages
        assert not part.startswith("two=") or all(f"form-{one}" in pages[file].ids for one in part[4:].split(","))
    assert len(left) > 20


def test_the_single_file_leads_nowhere_outside_itself(built_guide: pathlib.Path) -> None:
    seen = read_page((built_guide / SINGLE).read_text(encoding="utf-8"))
    assert [load for load in seen.loads if not load.startswith("data:")] == []
    lost = [link for link in seen.links if is_inside(link) and not link.startswith("#")]
    assert lost == []
    places = {link[1:] for link in seen.links if link.startswith("#") and "=" not in link}
    assert places - set(seen.ids) <= {"no-page"}, "links to pages that stay behind are hidden by the style"
    assert [name for name, count in seen.ids.items() if count > 1] == []


def target(page: str, link: str) -> tuple[str, str]:
    """Return the file below the guide and the place in it that a relative link leads to."""
    parts = urlsplit(link)
    if not parts.path:
        return page, unquote(parts.fragment)
    there: list[str] = page.split("/")[:-1]
    for piece in unquote(parts.path).split("/"):
        if piece == "..":
            there.pop()
        elif piece != ".":
            there.append(piece)
    return "/".join(there), unquote(parts.fragment)


def is_inside(link: str) -> bool:
    """Tell whether a link stays in the guide."""
    return not urlsplit(link).scheme


def broken(pages: dict[str, Seen], exists: frozenset[str]) -> list[str]:
    """Return every link and every load that leads to nothing."""
    said = []
    for page, seen in pages.items():
        for link in [*seen.links, *seen.loads]:
            if not is_inside(link):
                continue
            file, place = target(page, link)
            if file not in exists:
                said.append(f"{page}: no file for {link}")
            elif place and "=" not in place and file in pages and place not in pages[file].ids:
                said.append(f"{page}: no place for {link}")
        said += [f"{page}: nothing called {label}" for label in seen.labels if label not in seen.ids]
    return said


def test_every_link_leads_somewhere(built_guide: pathlib.Path, pages: dict[str, Seen]) -> None:
    exists = frozenset(path.relative_to(built_guide).as_posix() for path in built_guide.rglob("*") if path.is_file())
    assert sum(len(seen.links) for seen in pages.values()) > 1000
    assert broken(pages, exists) == []


def test_a_broken_link_is_noticed() -> None:
    pages = {
        "a.html": read_page('<a href="b/c.html#x">1</a><a href="gone.html">2</a><a href="mailto:a@b">3</a>'),
        "b/c.html": read_page('<a href="../a.html#y">4</a><label for="z">5</label><i id="x"></i><img src="d.js">'),
    }
    assert broken(pages, frozenset(pages)) == [
        "a.html: no file for gone.html",
        "b/c.html: no place for ../a.html#y",
        "b/c.html: no file for d.js",
        "b/c.html: nothing called z",
    ]


def test_every_page_can_be_reached_by_links_alone(pages: dict[str, Seen]) -> None:
    reached, waiting = {"index.html"}, ["index.html"]
    while waiting:
        page = waiting.pop()
        for link in filter(is_inside, pages[page].links):
            file = target(page, link)[0]
            if file in pages and file not in reached:
                reached.add(file)
                waiting.append(file)
    assert sorted(pages.keys() - reached) == []


def unsound(seen: Seen) -> list[str]:
    """Return what is wrong with a page as such."""
    said = [f"the id {name} is there {count} times" for name, count in seen.ids.items() if count > 1]
    said += [f"{tag} is not closed, or never opened" for tag in seen.unclosed]
    said += [f"no alternative text: {source}" for source in seen.unnamed]
    if not seen.language or not seen.title:
        said.append("no language or no title")
    if not seen.headings:
        said.append("no heading")
    outside = [load for load in seen.loads if not is_inside(load) and not load.startswith("data:")]
    return said + [f"a request to the outside: {load}" for load in outside]


def test_every_page_is_sound(pages: dict[str, Seen]) -> None:
    assert {page: said for page, seen in pages.items() if (said := unsound(seen))} == {}


def test_an_unsound_page_is_noticed() -> None:
    seen = read_page('<p id="a"><b>x</p><i id="a"></i></u><img src="https://example.org/a.png">')
    assert unsound(seen) == [
        "the id a is there 2 times",
        "b is not closed, or never opened",
        "/u is not closed, or never opened",
        "no alternative text: https://example.org/a.png",
        "no language or no title",
        "no heading",
        "a request to the outside: https://example.org/a.png",
    ]


def test_titles_tell_pages_apart(pages: dict[str, Seen]) -> None:
    counted = Counter(seen.title for seen in pages.values())
    assert [title for title, count in counted.items() if count > 1] == []


def test_the_first_page_of_each_kind_keeps_to_old_engines_as_built(built_guide: pathlib.Path) -> None:
    """The templates are linted as they stand; here is what Python puts into them."""
    said, kinds = {}, set()
    for path in sorted(built_guide.rglob("*.html")):
        inside = path.relative_to(built_guide)
        kind = inside.parts[0]
        if kind not in kinds and (found := lint_page(path.read_text(encoding="utf-8"))):
            said[inside.as_posix()] = found[:5]
        kinds.add(kind)
    assert said == {}
