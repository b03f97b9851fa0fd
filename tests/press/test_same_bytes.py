"""The same guide gives the same bytes, whatever the order in which Python happens to keep its sets."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
import sys

import pytest

from guide.command.main import main
from guide.press.offline import EDITION, mark_of, unmarked
from guide.press.publish import MARKER

ROOT = pathlib.Path(__file__).resolve().parents[2]


def test_two_builds_in_two_processes_are_the_same(built_guide: pathlib.Path, tmp_path: pathlib.Path) -> None:
    run = subprocess.run(
        [sys.executable, str(ROOT / "build.py"), "--content", str(ROOT / "content"), "--out", str(tmp_path / "out")],
        env={**os.environ, "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        cwd=tmp_path,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    mine, other = (folder / MARKER for folder in (built_guide, tmp_path / "out"))
    assert mine.read_bytes() == other.read_bytes(), "the marker holds a digest of every file"


def unmarked_site(folder: pathlib.Path) -> dict[str, bytes]:
    """Return the files of a site without the mark of its edition, which every page carries."""
    mark = mark_of({EDITION: (folder / EDITION).read_bytes()})
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {
        name: unmarked(name, path.read_bytes(), mark) for path in files if (name := path.relative_to(folder).as_posix())
    }


def test_a_second_kind_of_number_on_the_same_cars_changes_nothing_but_how_numbers_are_told(
    built_guide: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Engine numbers run beside the chassis numbers and follow no order: no car is a car of theirs."""
    content, out = tmp_path / "content", tmp_path / "out"
    shutil.copytree(ROOT / "content", content)
    (content / "numbers" / "engine.yml").write_text(
        'name: Engine number\nbody: engine\nwritten: "EN#####"\ngives build order: no\n'
        "runs: [{cars: EN00001..EN09000, source: ledger}]\n",
        encoding="utf-8",
    )
    assert main(["--content", str(content), "--out", str(out)]) == 0
    assert "0 errors, 0 warnings" in capsys.readouterr().out
    one, other = unmarked_site(built_guide), unmarked_site(out)
    assert one.keys() == other.keys()
    differ = {name for name in one if one[name] != other[name]}
    told = {"how-we-know.html", "downloads/facts.json", "data/letter.js"}  # each holds what every series is called
    assert differ == {*told, "content.zip", "guide.zip", "worker.js", EDITION, MARKER}
    page = (out / "how-we-know.html").read_text(encoding="utf-8")
    assert page.count("no car is dated by one") == 1
    assert page.index("Engine number") < page.index("no car is dated by one")
    assert main(["ask", "--content", str(content), "--car", "EN00123"]) == 0
    assert capsys.readouterr().out.startswith("EN00123 isn’t written like any chassis number of this car.")
