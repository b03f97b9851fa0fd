"""The feed of editions against the rules of RFC 4287 (The Atom Syndication Format), each quoted by its section; and of
what that leans on: RFC 3339 (instants), RFC 9562 (UUIDs), RFC 3986 (addresses), RFC 6838 (media types)."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from urllib.parse import urlsplit
from uuid import UUID
from xml.etree import ElementTree

import pytest

from guide.command.main import main
from tests.starting import started

ATOM = "{http://www.w3.org/2005/Atom}"
LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
ONCE = ("id", "title", "updated")  # 4.1.1, 4.1.2: "MUST contain exactly one"
AT_MOST_ONCE = ("generator", "icon", "logo", "rights", "subtitle", "content", "summary", "published", "source")
INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")  # 3.3, with RFC 3339, 5.6
MEDIA_TYPE = re.compile(r"[\w.+-]+/[\w.+-]+")  # 4.2.7.3, with RFC 6838, 4.2


def rules_broken(text: str) -> Iterator[str]:
    """Yield the section of each rule that a feed breaks."""
    try:
        feed = ElementTree.fromstring(text)
    except ElementTree.ParseError:
        yield "2: an Atom document is well-formed XML"
        return
    if feed.tag != f"{ATOM}feed":
        yield "4.1.1: the document element is atom:feed"
        return
    entries = feed.findall(f"{ATOM}entry")
    for one in (feed, *entries):
        yield from of_container(one)
    if not feed.findall(f"{ATOM}author") and not all(one.findall(f"{ATOM}author") for one in entries):
        yield "4.1.1: the feed has an author, or each entry has"
    if not [one for one in feed.findall(f"{ATOM}link") if one.get("rel") == "self"]:
        yield "4.1.1: the feed says where it is itself"
    ids = [one.findtext(f"{ATOM}id") for one in entries]
    if len(set(ids)) != len(ids):
        yield "4.2.6: no two entries have one id"
    updated = [one.findtext(f"{ATOM}updated") or "" for one in (feed, *entries)]
    if entries and updated[0] < max(updated[1:]):
        yield "4.2.15: the feed was changed when its last entry was"
    children = list(feed)
    if entries and any(one.tag != f"{ATOM}entry" for one in children[children.index(entries[0]) :]):
        yield "4.1.1: what the feed says of itself stands before its entries here"


def of_container(one: ElementTree.Element) -> Iterator[str]:
    for name in ONCE:
        if len(one.findall(ATOM + name)) != 1:
            yield f"4.1: exactly one {name}"
    for name in AT_MOST_ONCE:
        if len(one.findall(ATOM + name)) > 1:
            yield f"4.1: at most one {name}"
    for each in one.findall(f"{ATOM}id"):
        if not (each.text and re.fullmatch(r"[a-z][a-z0-9+.-]*:\S+", each.text)):
            yield "4.2.6: an id is an absolute IRI"
        elif each.text.startswith("urn:uuid:"):
            try:
                UUID(each.text.removeprefix("urn:uuid:"))
            except ValueError:
                yield "RFC 9562, 4: a UUID"
    for each in (*one.findall(f"{ATOM}updated"), *one.findall(f"{ATOM}published")):
        if not INSTANT.fullmatch(each.text or ""):
            yield "3.3: an instant by RFC 3339"
    for person in (*one.findall(f"{ATOM}author"), *one.findall(f"{ATOM}contributor")):
        if len(person.findall(f"{ATOM}name")) != 1 or not person.findtext(f"{ATOM}name"):
            yield "3.2.1: a person has exactly one name"
    for text in (*one.findall(f"{ATOM}title"), *one.findall(f"{ATOM}subtitle"), *one.findall(f"{ATOM}rights")):
        if text.get("type", "text") not in ("text", "html", "xhtml") or (text.get("type") != "xhtml" and len(text)):
            yield "3.1.1: a text construct"
    yield from of_links(one)
    for content in one.findall(f"{ATOM}content"):
        if content.get("type") == "html" and (len(content) or not is_html(content.text or "")):
            yield "4.1.3.3: escaped HTML that could stand in a div"


def of_links(one: ElementTree.Element) -> Iterator[str]:
    links = one.findall(f"{ATOM}link")
    for link in links:
        if not urlsplit(link.get("href", "")).scheme:
            yield "4.2.7.1: a link has an address, here a whole one"
        if link.get("type") is not None and not MEDIA_TYPE.fullmatch(link.get("type", "")):
            yield "4.2.7.3: a media type"
    others = [(one.get("type"), one.get("hreflang")) for one in links if one.get("rel", "alternate") == "alternate"]
    if len(set(others)) != len(others):
        yield "4.1: at most one alternate of a type and language"
    if one.tag == f"{ATOM}entry" and not others and not one.findall(f"{ATOM}content"):
        yield "4.1.2: an entry without content has an alternate"


def is_html(text: str) -> bool:
    """Tell whether every element of a piece of HTML is closed in its turn."""
    opened: list[str] = []
    fits: list[bool] = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002
            opened.append(tag)

        def handle_endtag(self, tag: str) -> None:
            fits.append(bool(opened) and opened.pop() == tag)

    Reader().feed(text)
    return all(fits) and not opened and bool(fits)


@pytest.fixture(scope="module")
def feed(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The feed of a small guide in its third edition, the second of which had no day."""
    folder = tmp_path_factory.mktemp("feed")
    content, to = started(folder, {}), folder / "to"
    path = content / "guide.yml"
    first = path.read_text(encoding="utf-8").replace("title: Example", 'title: "A & B <i>"\nformerly: Example')
    mark = content / "marks" / "roof-lamp.yml"
    for edition, last in (
        ("{name: one, date: 2025-05-01}", 598),
        ("two", 601),
        ("{name: three, date: 2026-05-01}", 605),
    ):
        typed = f"edition: {edition}\naddress: https://example.org/tern/"
        path.write_text(first.replace("edition: first", typed), encoding="utf-8")
        text = re.sub("last: S[0-9]+", f"last: S{last}", mark.read_text(encoding="utf-8"))
        mark.write_text(text, encoding="utf-8")
        assert main(["publish", str(to), "--content", str(content)]) == 0
    start = (to / "index.html").read_text(encoding="utf-8")
    assert '<link rel="alternate" type="application/atom+xml" title="A &amp; B &lt;i&gt;" href="editions.xml">' in start
    return (to / "editions.xml").read_text(encoding="utf-8")


def test_the_feed_keeps_every_rule(feed: str) -> None:
    assert list(rules_broken(feed)) == []
    found = ElementTree.fromstring(feed)
    assert found.get(LANGUAGE) == "en-GB"
    entries = found.findall(f"{ATOM}entry")
    assert [one.findtext(f"{ATOM}updated") for one in entries] == ["2026-05-01T00:00:00Z", "2025-05-01T00:00:00Z"]
    assert "the last car moves from S601 to S605" in (entries[0].findtext(f"{ATOM}content") or "")
    assert "The first edition" in (entries[1].findtext(f"{ATOM}content") or "")


SPOILT: tuple[tuple[str, Callable[[str], str]], ...] = (
    ("2:", lambda feed: feed.replace("</feed>", "")),
    ("4.1.1: the document", lambda feed: feed.replace("/2005/Atom", "/2004/Atom")),
    ("4.1: exactly one id", lambda feed: re.sub("<id>.*?</id>", "", feed, count=1)),
    ("4.1: exactly one updated", lambda feed: re.sub("(<updated>.*?</updated>)", r"\1\1", feed, count=1)),
    ("4.2.6: an id", lambda feed: feed.replace("urn:uuid:", "")),
    ("RFC 9562", lambda feed: feed.replace("urn:uuid:", "urn:uuid:x")),
    ("4.2.6: no two", lambda feed: re.sub("<id>.*?</id>", "<id>tag:example.org,2026:a</id>", feed)),
    ("3.3:", lambda feed: feed.replace("T00:00:00Z", "")),
    ("3.2.1:", lambda feed: re.sub("<name>.*?</name>", "", feed)),
    ("4.1.1: the feed has an author", lambda feed: re.sub("<author>.*?</author>", "", feed)),
    ("4.1.1: the feed says where", lambda feed: feed.replace('rel="self"', 'rel="via"')),
    ("4.2.7.1:", lambda feed: feed.replace('href="https://example.org/tern/', 'href="')),
    ("4.2.7.3:", lambda feed: feed.replace("application/atom+xml", "atom")),
    ("4.1.3.3:", lambda feed: feed.replace("&lt;/ul&gt;", "")),
    ("4.2.15:", lambda feed: feed.replace("2026-05-01", "2024-05-01", 1)),
    ("4.1.1: what the feed", lambda feed: feed.replace("</feed>", "<rights>ours</rights></feed>")),
)


@pytest.mark.parametrize(("rule", "spoil"), SPOILT, ids=lambda one: one if isinstance(one, str) else "")
def test_a_rule_that_is_broken_is_found(rule: str, spoil: Callable[[str], str], feed: str) -> None:
    spoilt = spoil(feed)
    assert spoilt != feed
    assert any(one.startswith(rule) for one in rules_broken(spoilt)), list(rules_broken(spoilt))


def test_without_an_address_or_a_day_there_is_none(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {})
    assert main(["--content", str(content), "--out", str(tmp_path / "out")]) == 0
    assert not (tmp_path / "out" / "editions.xml").exists()
