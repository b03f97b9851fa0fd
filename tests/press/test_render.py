"""Rendering: a theme's mistake is a finding with its place, an old address leads on, the same input the same bytes."""

from __future__ import annotations

import pathlib
import re
from dataclasses import replace
from typing import Any

import pytest
from PIL import Image

from guide.command.work import work_out
from guide.facts.types import Guide
from guide.pages.shelf import Address, Page
from guide.press.make import make_site
from guide.press.moved import leads_on, path_of
from guide.press.render import Renderer
from guide.press.theme import Theme, open_theme
from tests.dating.asking import key_of
from tests.mistakes.spoil import GUIDE
from tests.pages.shelves import CONTENT, shelf_of
from tests.told import ENGLISH

PLAIN = open_theme()


@pytest.fixture(scope="module")
def shelf(guide: Any, limits: Any, model: Any) -> Any:
    return shelf_of(guide, limits, model)


def render(shelf: Any, theme: pathlib.Path, text: str, **context: object) -> tuple[str, list[str]]:
    (theme / "pages").mkdir(exist_ok=True)
    (theme / "pages" / "one.html").write_text(text, encoding="utf-8")
    renderer = Renderer(shelf, Theme((theme,)))
    page = Page("one", lambda _shelf: (), lambda _shelf, _address: context, "one.html")
    made = renderer.render(page, Address("one", "", "folder/one.html", "One"))
    return made.decode(), [finding.line(ENGLISH).replace(theme.name, "THEME") for finding in renderer.findings]


@pytest.mark.parametrize(
    ("text", "line", "found_there"),
    [
        ("a\n{% if %}", 2, "Expected an expression"),
        ("a\n\n{{ nothing }}", 3, "'nothing' is undefined"),
        ("{{ to('mark', 'none') }}", 1, "there is no page 'mark' 'none'"),
        ("{% extends 'none.html' %}", 1, "none.html"),
    ],
)
def test_a_themes_mistake_is_a_finding_with_its_place(
    shelf: Any, tmp_path: pathlib.Path, text: str, line: int, found_there: str
) -> None:
    made, (found,) = render(shelf, tmp_path, text)
    assert made == ""
    head = f"THEME/pages/one.html:{line}:1: error: expected a template that can be filled in, found: "
    assert found.startswith(head)
    assert found_there in found


def test_what_a_page_is_given_is_escaped(shelf: Any, tmp_path: pathlib.Path) -> None:
    text = "{{ name }} <a href='{{ to('mark', 'switches', 'x') }}'>"
    made, findings = render(shelf, tmp_path, text, name="<b> & 'c'")
    assert findings == []
    assert made.startswith("&lt;b&gt; &amp; &#39;c&#39;")
    assert "../marks/switches.html#x" in made


def test_drawings_and_prose_come_ready(shelf: Any, tmp_path: pathlib.Path) -> None:
    text = "{{ drawing('switches-toggle.svg', 'Two \"levers\"') }}{{ drawing('none.svg') }}{{ prose('*so*', page_of) }}"
    made, findings = render(shelf, tmp_path, text, page_of=shelf.guide.marks["switches"])
    assert findings == []
    assert made.count("<svg") == 1
    assert "Two &quot;levers&quot;" in made
    assert "<em>so</em>" in made


def test_an_old_address_leads_on() -> None:
    worked = work_out(GUIDE)
    assert isinstance(worked.guide, Guide)
    assert worked.limits is not None
    assert worked.key is not None
    marks = dict(worked.guide.marks)
    marks["switches"] = replace(marks["switches"], formerly=("dash-switches", "aux"))
    changed = replace(worked.guide, marks=marks)
    site, findings = make_site(GUIDE, PLAIN, guide=changed, limits=worked.limits, key=worked.key)
    assert [finding for finding in findings if str(finding.severity) == "error"] == []
    old = site["marks/dash-switches.html"].decode()
    assert 'http-equiv="refresh" content="0; url=switches.html"' in old
    assert '<a href="switches.html">Small switches</a>' in old
    assert "marks/aux.html" not in site, "a name that Windows reserves is never written"
    assert sum(name.startswith("marks/aux-") for name in site) == 1
    again, _ = make_site(GUIDE, PLAIN, guide=changed, limits=worked.limits, key=worked.key)
    assert again == site


def test_a_stub_shows_text_as_text(shelf: Any) -> None:
    page = leads_on(shelf, "marks/old.html", Address("mark", "a", "marks/a.html", "<script>"))
    assert b"<script>" not in page
    assert b"""content="default-src 'none'; script-src 'self'; base-uri 'none'">""" in page


def test_photographs_are_published_clean_and_carried_along(
    guide: Any, limits: Any, model: Any, tmp_path: pathlib.Path
) -> None:
    pictures = tmp_path / "pictures"
    pictures.mkdir()
    for path in (CONTENT / "pictures").glob("*.svg"):
        (pictures / path.name).write_bytes(path.read_bytes())
    exif = Image.Exif()
    exif.get_ifd(0x8825)[2] = (52.0, 12.0, 30.0)
    Image.new("RGB", (60, 40), (90, 40, 30)).save(pictures / "left dash (1).jpg", exif=exif)
    Image.new("RGB", (60, 40), (20, 40, 90)).save(pictures / "the barn at Elmcott.jpg")  # which nothing shows
    (pictures / "Thumbs.db").write_bytes(b"\0")
    (pictures / "Notes.txt").write_text("not a picture")
    marks = dict(guide.marks)
    forms = dict(marks["switches"].forms)
    forms["toggle"] = replace(forms["toggle"], picture="left dash (1).jpg")
    marks["switches"] = replace(marks["switches"], forms=forms, about="Look: ![the dash](left dash (1).jpg)")
    site, findings = make_site(tmp_path, PLAIN, guide=replace(guide, marks=marks), limits=limits, key=key_of(model))
    assert [finding.line(ENGLISH) for finding in findings] == [
        "pictures/Notes.txt:1:1: warning: expected a photograph, found a file that cannot be used: "
        "it is not a photograph"
    ]
    (name,) = [name for name in site if name.startswith("pictures/")]
    assert re.fullmatch(r"pictures/[0-9a-f]{16}[.]jpg", name), "named by its content"
    assert not [one for one, data in site.items() if b"left dash" in data or b"Elmcott" in data]
    assert b"Exif" not in site[name]
    page = site["marks/switches.html"].decode()
    assert page.count(f'src="../{name}"') == 2
    assert 'alt="the dash" width="60" height="40"' in page
    single = site["guide-in-one-file.html"].decode()
    assert 'src="pictures/' not in single
    assert "data:image/jpeg;base64," in single


@pytest.mark.skipif(pathlib.Path(__file__.upper()).exists(), reason="two such names cannot exist on this disk")
def test_pictures_that_differ_only_in_capitals_are_refused(
    guide: Any, limits: Any, model: Any, tmp_path: pathlib.Path
) -> None:
    pictures = tmp_path / "pictures"
    pictures.mkdir()
    for name in ("Dash.jpg", "dash.jpg"):
        Image.new("RGB", (6, 4)).save(pictures / name)
    _, findings = make_site(tmp_path, PLAIN, guide=guide, limits=limits, key=key_of(model))
    said = [finding.line(ENGLISH) for finding in findings if finding.code == "names-differ-in-case"]
    assert said == [
        "pictures/dash.jpg:1:1: error: expected picture names that differ in more than capitals, found Dash.jpg and "
        "dash.jpg: on most systems only one of them can exist"
    ]


def test_an_address_copied_from_a_browser_leads_there_from_every_page(shelf: Any, tmp_path: pathlib.Path) -> None:
    text = (
        "{{ prose('[a](marks/dials.html#form-x) [b](../about.html) [c](downloads/statements.csv) [d](#form-toggle)"
        " [e](no.html) [f](#form-none)', page_of) }}"
    )
    made, findings = render(shelf, tmp_path, text, page_of=shelf.guide.marks["switches"])
    assert 'href="../marks/dials.html#form-x">a' in made
    assert 'href="../about.html">b' in made
    assert 'href="../downloads/statements.csv">c' in made
    assert 'href="../marks/switches.html#form-toggle">d' in made
    assert "<span>e</span> <span>f</span>" in made
    assert [finding.split("found ")[1] for finding in findings] == ["no.html, which leads to no page", "#form-none"]


def test_a_page_is_named_by_the_ids_in_its_address(shelf: Any) -> None:
    named = {
        address.path: path_of(address.kind, address.id.split("/")) for address in shelf.places.values() if address.id
    }
    assert len(named) > 100
    assert [path for path, name in named.items() if path != name] == []
