"""Old addresses live: one of each kind is renamed, and every address of the edition before still leads somewhere."""

from __future__ import annotations

import pathlib
import posixpath
import re
from collections.abc import Mapping
from html import unescape
from urllib.parse import unquote

import pytest

from guide.command.work import make_guide
from guide.facts.types import Guide
from guide.press.keeping_editions import keep_edition
from guide.press.theme import open_theme
from tests.starting import started
from tests.told import ENGLISH

Site = Mapping[str, bytes]
OVER = {
    "interiors.yml": """\
red-cloth: {name: Red cloth, colour: red, material: cloth, share: rest, built: [{from: start, to: end}]}
tan-vinyl: {name: Tan vinyl, colour: tan, material: vinyl, share: 1/3, built: [{from: start, to: end}]}
""",
    "words.yml": "fascia: {word: Fascia, means: The board below the screen.}\n",
    "care/rust.yml": "title: Rust\nmarks: [roof-lamp]\nsummary: It comes from below.\n",
    "numbers/estate.yml": """\
name: Estate
body: estate
written: "E###"
runs: [{cars: E001..E100, source: register}]
built by: {1961-12: E040, 1963-10-31: E100}
first built: {1960-03-01: E001}
calendar source: register
""",
    "cars-seen/club.csv": "car,seen on,roof-lamp\nS100,2020-05-01,round\nE050,2020-05-01,square\n",
}
THREE = """  oval:
    name: Oval
    answer: An oval lamp
    describes: An oval lamp.
    fitted as: {reproduction: yes}
"""


def edition(folder: pathlib.Path, *, renamed: bool) -> Site:
    """Return the first edition of a small guide, or the second, in which one record of each kind has another id."""
    content = started(folder, OVER)
    lamp = content / "marks" / "roof-lamp.yml"
    lamp.write_text(lamp.read_text(encoding="utf-8") + THREE, encoding="utf-8")
    guide = content / "guide.yml"
    guide.write_text(guide.read_text(encoding="utf-8") + "address: https://example.org/cars/\n", encoding="utf-8")
    rename(content, "guide.yml", "made: 1200", "made: 1300")
    if renamed:
        rename(content, "areas.yml", "cabin:", "inside:", " marks: [roof-lamp]}", " marks: [lamp], formerly: [cabin]}")
        rename(content, "periods.yml", "early:", "first:", ' summary: "Round', ' formerly: [early], summary: "Round')
        rename(
            content,
            "interiors.yml",
            "red-cloth:",
            "cloth-red:",
            "material: cloth",
            "formerly: red-cloth, material: cloth",
        )
        rename(content, "sources.yml", "register:\n  name", "club-list:\n  formerly: [register]\n  name")
        for name in ("guide.yml", *(f"numbers/{one}.yml" for one in ("saloon", "estate"))):
            rename(content, name, "source: register", "source: club-list")
        for name in ("roof-lamp", "door-handle"):
            rename(content, f"marks/{name}.yml", "source: register", "source: club-list")
        rename(content, "words.yml", "fascia: {", "dash: {formerly: fascia, ")
        (content / "numbers/saloon.yml").rename(content / "numbers/two-door.yml")
        with (content / "numbers/two-door.yml").open("a", encoding="utf-8") as file:
            file.write("formerly: [saloon]\n")
        rename(content, "care/rust.yml", "[roof-lamp]", "[lamp]")
        (content / "care/rust.yml").rename(content / "care/red-rust.yml")
        with (content / "care/red-rust.yml").open("a", encoding="utf-8") as file:
            file.write("formerly: rust\n")
        rename(content, "marks/roof-lamp.yml", "  round:\n", "  ring:\n    formerly: round\n", "[round,", "[ring,")
        lamp.write_text(lamp.read_text(encoding="utf-8") + "formerly: roof-lamp\n", encoding="utf-8")
        lamp.rename(content / "marks" / "lamp.yml")
    worked, site = make_guide(content, open_theme(), stop_on="errors")
    assert site is not None, [finding.line(ENGLISH) for finding in worked.findings]
    return site


def rename(content: pathlib.Path, name: str, *pairs: str) -> None:
    path = content / name
    text = path.read_text(encoding="utf-8")
    for old, new in zip(pairs[::2], pairs[1::2], strict=True):
        assert old in text, (name, old)
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


@pytest.fixture(scope="module")
def editions(tmp_path_factory: pytest.TempPathFactory) -> tuple[Site, Site]:
    """Two editions of one guide."""
    return (
        edition(tmp_path_factory.mktemp("one"), renamed=False),
        edition(tmp_path_factory.mktemp("two"), renamed=True),
    )


def pages_of(site: Site) -> dict[str, str]:
    return {name: data.decode() for name, data in site.items() if name.endswith(".html") and "one-file" not in name}


def ids_in(text: str) -> set[str]:
    return {unescape(one) for one in re.findall(r'\bid="([^"]+)"', text)}


def followed(pages: dict[str, str], name: str) -> tuple[str, str]:
    """Return where an address leads in the end, and the part that it names."""
    for _ in range(3):
        found = re.search(r'http-equiv="refresh" content="0; url=([^"]+)"', pages[name])
        if not found:
            return name, ""
        path, _, part = unescape(found[1]).partition("#")
        name = posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(path)))
        if part:
            return name, part
    raise AssertionError(f"{name} goes round in a circle")


def test_every_address_of_the_edition_before_leads_to_a_page_and_every_part_to_a_part(
    editions: tuple[Site, Site],
) -> None:
    before, now = map(pages_of, editions)
    gone = {name for name in before if name not in now}
    assert gone == set()
    led = {name: followed(now, name) for name in before}
    moved = {name: there for name, there in led.items() if there[0] != name}
    assert moved["marks/roof-lamp.html"] == ("marks/lamp.html", "")
    assert moved["forms/roof-lamp-round-or-square.html"] == ("forms/lamp-ring-or-square.html", "")
    assert moved["forms/roof-lamp-round-or-oval.html"][0] == "marks/lamp.html", "two that have no page of their own"
    kinds = {name.split("/")[0] for name in moved}
    assert kinds == {"marks", "forms", "areas", "periods", "interiors", "apart", "seen", "sheets", "timeline"}
    for name, (there, _) in led.items():
        assert ids_in(before[name]) - ids_in(now[there]) == set(), (name, there)


def test_a_page_of_two_is_found_where_it_was_before_they_changed_places(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {"interiors.yml": OVER["interiors.yml"]})

    def made() -> tuple[Guide, Site]:
        worked, site = make_guide(content, open_theme(), stop_on="errors")
        assert worked.guide is not None
        assert site is not None, [finding.line(ENGLISH) for finding in worked.findings]
        return worked.guide, site

    guide, before = made()
    assert keep_edition(content, guide, before) == ()
    rename(content, "guide.yml", "edition: first", "edition: second")
    path = content / "interiors.yml"
    one, other = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text(other + one, encoding="utf-8")
    lamp = content / "marks" / "roof-lamp.yml"
    head, one, other = re.split(r"(?m)^(?=  (?:round|square):)", lamp.read_text(encoding="utf-8"))
    lamp.write_text(head + other + "\n" + one, encoding="utf-8")
    _, now = made()
    pages = pages_of(now)
    assert {name for name in pages_of(before) if name not in pages} == set()
    for old, there in {
        "apart/red-cloth-or-tan-vinyl.html": "apart/tan-vinyl-or-red-cloth.html",
        "forms/roof-lamp-round-or-square.html": "forms/roof-lamp-square-or-round.html",
    }.items():
        assert old in before
        assert followed(pages, old) == (there, "")


def test_the_timeline_and_the_tally_of_an_area_live_on_in_a_guide_so_large_that_each_has_a_page(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("guide.pages.kinds.tally._MANY", 0)
    before, now = (pages_of(edition(tmp_path / str(renamed), renamed=renamed)) for renamed in (False, True))
    assert "tally/area-cabin.html" in before
    assert followed(now, "tally/area-cabin.html") == ("tally/area-inside.html", "")
    assert {name for name in before if name not in now} == set()


def test_hosts_are_told_what_moved_in_two_ways_of_their_own(editions: tuple[Site, Site]) -> None:
    before, now = editions
    assert "_redirects" not in before or b"lamp.html" not in before["_redirects"].replace(b"roof-lamp", b"")
    lines = now["_redirects"].decode().splitlines()
    assert "/cars/marks/roof-lamp.html /cars/marks/lamp.html 301" in lines
    rules = now[".htaccess"].decode().splitlines()
    assert rules[2] == "RewriteBase /cars/"
    assert r"RewriteRule ^marks/roof\-lamp\.html$ /cars/marks/lamp.html [R=301,NE,L]" in rules
    assert len(lines) == len(rules) - 4
    assert '"_redirects"' not in now["worker.js"].decode()
