"""A site in the making: each page by itself is what it is in the whole, and nothing is made that nobody asks for."""

from __future__ import annotations

import errno
import os
import pathlib
import random
import shutil
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from typing import Any

import pytest

from guide.command.work import begin_guide, make_guide, work_out
from guide.press.cache import Cache
from guide.press.make import Making
from guide.press.offline import mark_of, unmarked
from guide.press.site_files import SiteFiles
from guide.press.theme import Theme, open_theme
from tests.starting import change, started
from tests.told import ENGLISH

PLAIN = open_theme()


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    return started(tmp_path)


@pytest.mark.parametrize("seed", [1, 2])
def test_in_whatever_order_files_are_asked_for_they_are_those_of_the_whole(content: pathlib.Path, seed: int) -> None:
    _, site = make_guide(content, PLAIN, stop_on="errors")
    _, making = begin_guide(content, PLAIN, Cache(None))
    assert site is not None
    assert making is not None
    names = sorted(site)
    random.Random(seed).shuffle(names)
    asked = {name: data for name in names if isinstance(data := making.get(name), bytes)}
    assert len(asked) == len(site)
    mark = mark_of(site)  # a page that is asked for before the whole is there cannot carry it yet
    assert {name: unmarked(name, data, mark) for name, data in asked.items()} == {
        name: unmarked(name, data, mark) for name, data in site.items()
    }


def test_a_page_makes_no_other(content: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, making = begin_guide(content, PLAIN, Cache(None))
    assert making is not None
    monkeypatch.setattr(Making, "whole", lambda _: pytest.fail("nobody asked for the whole"))
    for name in ("index.html", "marks/door-handle.html", "data/model.js", "style/look.css", "icons/guide-192.png"):
        assert making.get(name), name
    for name in ("favicon.ico", "no-such-page.html", "../guide.yml"):
        assert making.get(name) is None, name
    assert set(making._site) & set(making._pages) == {"index.html", "marks/door-handle.html"}


def test_a_page_whose_template_is_broken_says_why(content: pathlib.Path, tmp_path: pathlib.Path) -> None:
    theme = pathlib.Path(shutil.copytree(PLAIN.layers[0], tmp_path / "theme"))
    (theme / "pages" / "mark.html").write_text("{{ nothing_of_that_name }}", encoding="utf-8")
    _, making = begin_guide(content, Theme((theme,)), Cache(None))
    assert making is not None
    assert isinstance(making.get("index.html"), bytes)
    found = making.get("marks/door-handle.html")
    assert isinstance(found, tuple)
    assert [one.code for one in found] == ["theme-broken"]


def test_a_save_of_words_keeps_the_model_and_a_save_of_a_date_does_not(content: pathlib.Path) -> None:
    def saved(old: str, new: str, before: Any) -> Any:
        change(content, "marks/door-handle.yml", old, new)
        after = work_out(content, before)
        assert after.key is not None
        assert after.key.dumped == work_out(content).key.dumped  # type: ignore[union-attr]
        return after

    first = work_out(content)
    words = saved("name: ", "about: |\n  Another word.\n\nname: ", first)
    assert words.key is first.key
    assert saved("survives: ", "survives: few  # was ", words).key is not first.key


def test_a_link_in_a_theme_publishes_nothing_that_lies_outside(content: pathlib.Path, tmp_path: pathlib.Path) -> None:
    theme = content / "theme"
    for part in ("style", "scripts"):
        (theme / part).mkdir(parents=True)
    (theme / "style" / "look.css").write_text("p {}", encoding="utf-8")
    (tmp_path / "private").mkdir()
    (tmp_path / "private" / "owners.css").write_text("names and addresses", encoding="utf-8")
    (theme / "style" / "within.css").symlink_to(theme / "style" / "look.css")
    (theme / "style" / "owners.css").symlink_to(tmp_path / "private" / "owners.css")
    (theme / "scripts" / "private").symlink_to(tmp_path / "private")
    opened = open_theme("", content)
    assert make_guide(content, opened, stop_on="errors")[1] is None
    assert begin_guide(content, opened, Cache(None))[1] is None
    assert [one.line(ENGLISH) for one in opened.findings] == [
        f"theme/{name}:1:1: error: expected files of the theme's own, found a link to something outside it, which "
        "might be published"
        for name in ("scripts/private", "style/owners.css")
    ]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system begins no process where another stands")
@pytest.mark.parametrize(("faulty", "fails"), [(False, False), (False, True), (True, False)])
def test_two_cores_make_the_same_bytes_and_find_the_same_in_the_same_order(
    content: pathlib.Path, monkeypatch: pytest.MonkeyPatch, faulty: bool, fails: bool
) -> None:
    """A text with a fault stands on several pages; what the other process fails to hand over is made in this one."""
    if faulty:
        path = content / "periods.yml"
        path.write_text(path.read_text("utf-8").replace("name: Late", "about: '[a](mark:no)', name: Late"), "utf-8")
        path = content / "marks" / "door-handle.yml"
        path.write_text(path.read_text("utf-8").replace("    name: ", "    about: '[b](mark:no)'\n    name: "), "utf-8")
    worked, site = make_guide(content, PLAIN, stop_on="nothing")
    here, asked = os.getpid(), list[int]()

    def handed(self: Making, pieces: Iterable[Sequence[str]]) -> Iterator[object]:
        assert os.getpid() != here
        for number, one in enumerate(whole(self, pieces)):
            assert not fails or number == 0, "it breaks off after the first page"
            yield one

    whole = Making._handed
    monkeypatch.setattr("guide.press.make._MANY", 1)

    def helps(pieces: int) -> bool:
        asked.append(pieces)
        return True

    monkeypatch.setattr("guide.press.make.can_help", helps)
    monkeypatch.setattr(Making, "_handed", handed)
    on_two, again = make_guide(content, PLAIN, stop_on="nothing")
    assert asked[0] > 5
    assert again == site
    monkeypatch.setattr("guide.press.site_files._ROOM_BYTES", 0)  # not a byte stands in memory
    assert make_guide(content, PLAIN, stop_on="nothing")[1] == site
    assert on_two.findings == worked.findings
    assert site is not None
    assert sum(finding.code == "link-dangling" for finding in worked.findings) == (3 if faulty else 0)
    with suppress(ChildProcessError):  # a browser of other tests may be a child of this process, and lives
        assert os.waitpid(-1, os.WNOHANG) == (0, 0)


def test_a_part_of_which_no_paper_speaks_has_a_page_all_the_same(tmp_path: pathlib.Path) -> None:
    part = "name: Ash tray\nquestion: What is the ash tray?\nreach: glass\nsurvives: most\nlook: Below the dials.\n"
    forms = "".join(f"  {one}:\n    name: {one}\n    answer: A {one} tray\n" for one in ("small", "large"))
    content = started(tmp_path, {"marks/ash-tray.yml": f"{part}forms:\n{forms}"})
    change(content, "areas.yml", "[door-handle]", "[ash-tray, door-handle]")
    worked, site = make_guide(content, open_theme(), stop_on="errors")
    assert site is not None, [one.line(ENGLISH) for one in worked.findings]
    assert b"A small tray" in site["marks/ash-tray.html"]


@pytest.mark.parametrize("room", [0, 10, 100])
def test_files_stand_on_the_disk_where_memory_has_no_room_for_them(room: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Written, written over by what is as long, longer and shorter, and taken away; also where the disk is full."""
    files, given = SiteFiles(room=room), dict[str, bytes]()
    for step, (name, data) in enumerate(
        [
            ("a", b"12345"),
            ("b", b"1234567"),
            ("a", b"54321"),
            ("b", b""),
            ("c", b"c" * 80),
            ("b", b"bb"),
            ("a", b"longer"),
        ]
    ):
        if step == 5:

            def full(*_: object) -> None:
                raise OSError(errno.ENOSPC, "no room")

            monkeypatch.setattr(SiteFiles, "_write", full)
        files[name] = given[name] = data
        assert dict(files) == given
        assert {one: files.size(one) for one in files} == {one: len(data) for one, data in given.items()}
    del files["c"]
    assert sorted(files) == ["a", "b"]
    assert "c" not in files
