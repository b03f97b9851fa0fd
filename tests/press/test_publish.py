"""Publishing: a whole edition or none, only into a folder of ours, the same bytes for the same site."""

from __future__ import annotations

import multiprocessing
import os
import pathlib
import shutil
from collections.abc import Callable
from typing import Any

import pytest

from guide.press.publish import MARKER, publish_guide, recover_out
from tests.told import ENGLISH, told

OLD = {"index.html": b"old", "marks/switches.html": b"old switches"}
NEW = {"index.html": b"new", "style/look.css": b"p{}"}


def files(folder: pathlib.Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != MARKER
    }


@pytest.fixture
def out(tmp_path: pathlib.Path) -> pathlib.Path:
    return tmp_path / "out"


def test_a_site_is_written_and_replaced_whole(out: pathlib.Path) -> None:
    assert publish_guide(OLD, out) == ()
    assert files(out) == OLD
    assert publish_guide(NEW, out) == ()
    assert files(out) == NEW
    assert sorted(path.name for path in out.parent.iterdir()) == ["out"]


def test_the_same_site_gives_the_same_bytes_marker_included(tmp_path: pathlib.Path) -> None:
    assert publish_guide(NEW, tmp_path / "a") == ()
    assert publish_guide(dict(reversed(NEW.items())), tmp_path / "b") == ()
    assert (tmp_path / "a" / MARKER).read_bytes() == (tmp_path / "b" / MARKER).read_bytes()


def test_nothing_is_touched_when_nothing_changed(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    before = (out / "index.html").stat()
    assert publish_guide(OLD, out) == ()
    assert (out / "index.html").stat() == before


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


def test_a_file_in_the_place_of_the_folder_is_left_alone(out: pathlib.Path) -> None:
    out.write_text("a file")
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "out-not-ours"
    assert out.read_text() == "a file"


def test_an_empty_folder_is_used(out: pathlib.Path) -> None:
    out.mkdir()
    assert publish_guide(NEW, out) == ()
    assert files(out) == NEW


def test_somebody_elses_folder_beside_it_is_left_alone(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    theirs = out.with_name("out.old")
    theirs.mkdir()
    (theirs / "mine.txt").write_text("mine")
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "cannot-write"
    assert files(theirs) == {"mine.txt": b"mine"}
    assert files(out) == OLD


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
        if next(refusals, False):
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
        if pathlib.Path(old).name == "out.new":
            raise OSError(5, "input/output error")
        replace(old, new)

    monkeypatch.setattr(os, "replace", broken)
    (finding,) = publish_guide(NEW, out)
    assert finding.code == "cannot-write"
    assert files(out) == OLD


def _killed_after(out: pathlib.Path, step: int) -> None:
    """Publish, and die at the given call that touches the disk's names or writes a file."""
    calls = 0

    def dying(function: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            nonlocal calls
            calls += 1
            if calls > step:
                os._exit(9)
            return function(*args, **kwargs)

        return call

    os.replace = dying(os.replace)
    shutil.rmtree = dying(shutil.rmtree)  # type: ignore[assignment]
    pathlib.Path.write_bytes = dying(pathlib.Path.write_bytes)  # type: ignore[method-assign]
    publish_guide(NEW, out)


@pytest.mark.parametrize("step", range(7))
def test_a_kill_leaves_a_whole_edition_or_one_made_whole_by_the_next_command(out: pathlib.Path, step: int) -> None:
    publish_guide(OLD, out)
    process = multiprocessing.get_context("fork").Process(target=_killed_after, args=(out, step))
    process.start()
    process.join()
    assert process.exitcode in (0, 9)
    recover_out(out)
    assert files(out) in (OLD, NEW)
    assert publish_guide(NEW, out) == ()
    assert files(out) == NEW
    assert sorted(path.name for path in out.parent.iterdir()) == ["out"]


def test_the_kills_reach_every_stage(out: pathlib.Path) -> None:
    publish_guide(OLD, out)
    endings = set()
    for step in range(7):
        process = multiprocessing.get_context("fork").Process(target=_killed_after, args=(out, step))
        process.start()
        process.join()
        endings.add(process.exitcode)
    assert endings == {0, 9}
