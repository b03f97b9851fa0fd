"""`build.py` on a machine where nothing is set up yet: the exact line to type, and no traceback."""

from __future__ import annotations

import pathlib
import subprocess
import sys

import build


def test_without_its_packages_it_prints_the_line_that_installs_them(root: pathlib.Path) -> None:
    # -S leaves out everything that pip installed, as on a machine where nothing is set up.
    run = subprocess.run(
        [sys.executable, "-S", "build.py", "check"], cwd=root, capture_output=True, text=True, timeout=60, check=False
    )
    assert run.returncode == 2
    assert "Traceback" not in run.stderr
    assert "Not installed yet: jinja2, markdown, pyyaml, livereload, pillow." in run.stderr
    assert f"\n    {build.install_line('posix')}\n" in run.stderr


def test_each_system_gets_its_own_line() -> None:
    assert build.install_line("nt") == (
        r"py -m venv .venv; .venv\Scripts\pip install -e .; .venv\Scripts\python build.py"
    )
    assert "&&" in build.install_line("posix")


def test_the_lines_are_the_readme_s(root: pathlib.Path) -> None:
    text = (root / "README.md").read_text(encoding="utf-8").replace("pip install -q", "pip install")
    assert f"    {build.install_line('posix')}\n" in text
    assert f"    {build.install_line('nt')}\n" in text


def test_whoever_stops_reading_sees_no_traceback(root: pathlib.Path) -> None:
    run = subprocess.Popen(
        [sys.executable, "build.py", "check", "--json"], cwd=root, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert run.stdout is not None
    assert run.stderr is not None
    run.stdout.read(10)
    run.stdout.close()
    assert run.stderr.read() == b""
    assert run.wait(timeout=60) == 0
    run.stderr.close()
