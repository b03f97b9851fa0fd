"""Publishing: a whole edition or none, only into a folder of ours, the same bytes for the same site."""

from __future__ import annotations

import os
import pathlib

import pytest

from guide.press.publish import MARKER, edition_of, go_back, publish_guide
from tests.told import ENGLISH, told

OLD = {"index.html": b"old", "marks/switches.html": b"old switches"}
NEW = {"index.html": b"new", "style/look.css": b"p{}"}


def files(folder: pathlib.Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != MARKER
    }


def names(out: pathlib.Path) -> list[str]:
    """Return what lies beside ``out``, and in our own folder there, without what is inside editions."""
    found = [*out.parent.iterdir(), *out.with_name(".out.publishing").iterdir()]
    return sorted(path.relative_to(out.parent).as_posix() for path in found)


@pytest.fixture
def out(tmp_path: pathlib.Path) -> pathlib.Path:
    return tmp_path / "out"


def test_a_site_is_written_and_replaced_whole(out: pathlib.Path) -> None:
    assert publish_guide(OLD, out) == ()
    assert files(out) == OLD
    assert publish_guide(NEW, out) == ()
    assert files(out) == NEW
    assert names(out) == [".out.publishing", ".out.publishing/before", ".out.publishing/lock", "out"]


def test_the_same_site_gives_the_same_bytes_marker_included(tmp_path: pathlib.Path) -> None:
    assert publish_guide(NEW, tmp_path / "a") == ()
    assert publish_guide(dict(reversed(NEW.items())), tmp_path / "b") == ()
    assert (tmp_path / "a" / MARKER).read_bytes() == (tmp_path / "b" / MARKER).read_bytes()


def test_nothing_is_touched_when_nothing_changed(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    before = (out / "index.html").stat()
    assert publish_guide(OLD, out) == ()
    after = (out / "index.html").stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_file_changed_by_hand_is_put_right(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    (out / "index.html").write_bytes(b"scribble")
    assert publish_guide(OLD, out) == ()
    assert files(out) == OLD


def test_a_folder_that_is_not_ours_is_left_alone(out: pathlib.Path) -> None:
    out.mkdir()
    (out / "letter.txt").write_text("dear")
    (finding,) = publish_guide(NEW, out)
    assert (finding.code, finding.line(ENGLISH)) == (
        "out-not-ours",
        "out:1:1: error: expected a folder made by an earlier build, found out with other things in it; "
        "nothing was touched",
    )
    assert files(out) == {"letter.txt": b"dear"}


def test_a_guide_that_lies_in_another_s_folder_is_not_lost_with_it(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    (finding,) = publish_guide(NEW, out / "de")
    assert ENGLISH.tell(finding.message).startswith(
        "expected a folder of its own, found de in that of another guide, out"
    )
    assert files(out) == OLD
    assert not (out / "de").exists()
    assert not (out / ".de.publishing").exists(), "nothing was touched"

    publish_guide(NEW, out.with_name("de"))
    out.with_name("de").rename(out / "de")
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "out-not-ours"
    assert "found another guide in it, de, which would go with it" in ENGLISH.tell(finding.message)
    assert files(out / "de") == NEW


def test_a_file_in_the_place_of_the_folder_is_left_alone(out: pathlib.Path) -> None:
    out.write_text("a file")
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "out-not-ours"
    assert out.read_text() == "a file"


def test_an_empty_folder_is_used(out: pathlib.Path) -> None:
    out.mkdir()
    assert publish_guide(NEW, out) == ()
    assert files(out) == NEW


@pytest.mark.parametrize("name", ["out.old", "out.new", "out-before"])
def test_somebody_elses_folder_beside_it_is_left_alone(out: pathlib.Path, name: str) -> None:
    publish_guide(OLD, out)
    theirs = out.with_name(name)
    theirs.mkdir()
    (theirs / "mine.txt").write_text("mine")
    assert publish_guide(NEW, out) == ()
    assert files(theirs) == {"mine.txt": b"mine"}


def test_a_link_to_a_folder_stays_a_link(out: pathlib.Path, tmp_path: pathlib.Path) -> None:
    real = tmp_path / "real"
    publish_guide(OLD, real)
    out.symlink_to(real, target_is_directory=True)
    assert publish_guide(NEW, out) == ()
    assert out.is_symlink()
    assert files(real) == NEW


def test_names_that_differ_only_in_capitals_are_refused(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    (finding,) = publish_guide({"pictures/Dash.jpg": b"1", "pictures/dash.jpg": b"2"}, out)
    assert finding.code == "names-differ-in-case"
    assert "pictures/Dash.jpg and pictures/dash.jpg" in told(finding.message)
    assert files(out) == OLD


@pytest.mark.parametrize("name", ["marks/aux.html", "a/b?.html", "x" * 200, "dot./a", "a//b", "../a", "com1"])
def test_names_that_some_system_cannot_hold_are_refused(out: pathlib.Path, name: str) -> None:
    (finding,) = publish_guide({name: b""}, out)
    assert finding.code == "unsafe-name"
    assert not out.exists()


def test_a_file_where_a_folder_should_be_is_refused(out: pathlib.Path) -> None:
    (finding,) = publish_guide({"marks": b"", "marks/a.html": b""}, out)
    assert finding.code == "names-differ-in-case"


def test_a_held_folder_is_tried_again_and_then_said(out: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish_guide(OLD, out)
    waits: list[float] = []

    def held(_old: pathlib.Path, _new: pathlib.Path) -> None:
        raise PermissionError(13, "The process cannot access the file")

    monkeypatch.setattr(os, "replace", held)
    (finding,) = publish_guide(NEW, out, sleep=waits.append)
    assert finding.code == "out-held"
    assert waits == sorted(waits)
    assert len(waits) == 6
    assert files(out) == OLD


def test_a_folder_held_for_a_moment_is_replaced(out: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish_guide(OLD, out)
    replace, refusals = os.replace, iter([True, True, False])

    def held(old: pathlib.Path, new: pathlib.Path) -> None:
        if old == out and next(refusals, False):
            raise PermissionError(13, "held")
        replace(old, new)

    monkeypatch.setattr(os, "replace", held)
    assert publish_guide(NEW, out, sleep=lambda _seconds: None) == ()
    assert files(out) == NEW


def test_the_old_edition_comes_back_when_the_new_cannot_take_its_place(
    out: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish_guide(OLD, out)
    replace = os.replace

    def broken(old: pathlib.Path, new: pathlib.Path) -> None:
        if pathlib.Path(old).name == "new":
            raise OSError(5, "input/output error")
        replace(old, new)

    monkeypatch.setattr(os, "replace", broken)
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "cannot-write"
    assert files(out) == OLD


def test_what_another_program_holds_of_the_old_edition_stops_nobody(
    out: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish_guide(OLD, out)
    replace = os.replace

    def held(old: pathlib.Path, new: pathlib.Path) -> None:
        if pathlib.Path(old).name.startswith("old-"):
            raise PermissionError(13, "held")
        replace(old, new)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", held)
        for site in (NEW, OLD, NEW):
            assert publish_guide(site, out) == ()
            assert files(out) == site
    assert publish_guide(OLD, out) == ()
    assert names(out) == [".out.publishing", ".out.publishing/before", ".out.publishing/lock", "out"]


def test_one_goes_back_to_the_edition_before_and_returns(out: pathlib.Path) -> None:
    publish_guide(OLD, out, edition="spring")
    publish_guide(NEW, out, edition="autumn")
    assert go_back(out) == ()
    assert (files(out), edition_of(out)) == (OLD, "spring")
    assert go_back(out) == ()
    assert (files(out), edition_of(out)) == (NEW, "autumn")


def test_building_one_edition_again_and_again_keeps_the_edition_before(out: pathlib.Path) -> None:
    publish_guide(OLD, out, edition="spring")
    for turn in range(3):
        publish_guide({"index.html": b"%d" % turn}, out, edition="autumn")
    assert go_back(out) == ()
    assert files(out) == OLD


def test_without_names_one_goes_back_to_the_build_before(out: pathlib.Path) -> None:
    for turn in range(3):
        publish_guide({"index.html": b"%d" % turn}, out)
    assert go_back(out) == ()
    assert files(out) == {"index.html": b"1"}


def test_where_nothing_was_kept_nothing_changes(out: pathlib.Path) -> None:
    (finding,) = go_back(out)
    assert (finding.code, out.exists()) == ("none-before", False)
    publish_guide(OLD, out)
    (finding,) = go_back(out)
    assert finding.line(ENGLISH) == (
        "out:1:1: error: expected an edition before the one in out, found none kept; nothing was touched"
    )
    assert files(out) == OLD


def test_a_file_that_another_program_holds_keeps_no_edition_half_deleted_in_its_place(
    out: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows deletes no file that is open. What is left of an edition, its marker at worst, passes for none."""

    def all_but_the_marker(folder: pathlib.Path, *, ignore_errors: bool) -> None:
        assert ignore_errors
        for name in files(folder):
            (folder / name).unlink()

    monkeypatch.setattr("guide.press.publish.shutil.rmtree", all_but_the_marker)
    for edition, site in (("first", OLD), ("second", NEW), ("third", OLD)):
        assert publish_guide(site, out, edition=edition) == ()
    assert go_back(out) == ()
    assert (edition_of(out), files(out)) == ("second", NEW)
