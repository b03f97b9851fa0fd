"""The same guide gives the same bytes, whatever the order in which Python happens to keep its sets."""

from __future__ import annotations

import os
import pathlib
import subprocess
import sys

from guide.press.publish import MARKER

ROOT = pathlib.Path(__file__).resolve().parents[2]


def test_two_builds_in_two_processes_are_the_same(built_guide: pathlib.Path, tmp_path: pathlib.Path) -> None:
    run = subprocess.run(
        [sys.executable, str(ROOT / "build.py"), "--content", str(ROOT / "content"), "--out", str(tmp_path / "out")],
        env={**os.environ, "PYTHONHASHSEED": "7"}, capture_output=True, text=True, encoding="utf-8", check=False,
        cwd=tmp_path,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    mine, other = (folder / MARKER for folder in (built_guide, tmp_path / "out"))
    assert mine.read_bytes() == other.read_bytes(), "the marker holds a digest of every file"
