"""A copy installed from the wheel, in an environment of its own, far from the tree: what it needs is in it."""

from __future__ import annotations

import os
import pathlib
import re
import shutil
import subprocess
import sys
import sysconfig
import venv

import pytest

from guide.command.main import main
from guide.press.theme import THEMES
from tests.command.wheel import lowest
from tests.conftest import ROOT, reference_library


def run(*command: str | pathlib.Path, cwd: pathlib.Path) -> str:
    """Run a command far from the tree and return what it printed."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "PIP_", "COV_"))}
    done = subprocess.run([*map(str, command)], cwd=cwd, env=clean, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The wheel, made from the sdist, as whoever installs the one or the other gets it; nothing is fetched for it."""
    reference_library("hatchling")
    made = tmp_path_factory.mktemp("made")
    run(sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", made, cwd=ROOT)
    sdist = next(made.glob("*.tar.gz"))
    run(
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "--no-index",
        "-w",
        made,
        sdist,
        cwd=made,
    )
    return next(made.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(wheel: pathlib.Path, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The folder of programs of a fresh environment with the wheel in it, and the packages it rests on from here."""
    folder = tmp_path_factory.mktemp("elsewhere") / "env"
    venv.create(folder, with_pip=False)
    where = {"base": str(folder), "platbase": str(folder)}
    scheme = "venv" if "venv" in sysconfig.get_scheme_names() else sysconfig.get_default_scheme()
    programs = pathlib.Path(sysconfig.get_path("scripts", scheme, where))
    packages = pathlib.Path(sysconfig.get_path("purelib", scheme, where))
    # A path from such a file is searched, but the files of its kind in there are not read: this very tree, which may
    # be installed there to be edited, stays out.
    (packages / "rests-on.pth").write_text(f"{sysconfig.get_path('purelib')}\n", encoding="utf-8")
    run(sys.executable, "-m", "pip", "--python", folder, "install", "-q", "--no-deps", "--no-index", wheel, cwd=folder)
    return programs


def test_an_installed_copy_starts_a_guide_and_makes_it_as_the_tree_does(
    installed: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    said = run(installed / "running-change", "start", "my guide", cwd=tmp_path)
    page = (tmp_path / "my guide" / "HOW-TO-EDIT.md").read_text(encoding="utf-8")
    typed = re.search(r'^    (".*"|\S+) -m guide --content', page, re.MULTILINE)
    assert typed, page
    assert "-m guide preview" in said
    preview = (tmp_path / "my guide" / "Preview this guide.cmd").read_text(encoding="utf-8")
    assert '"%python%" -m guide preview --content "%~dp0."' in preview
    run(installed / typed[1].strip('"'), "-m", "guide", "--content", "my guide", "--out", "out", cwd=tmp_path)
    assert main(["--content", str(tmp_path / "my guide"), "--out", str(tmp_path / "here")]) == 0
    one, other = ((tmp_path / name) for name in ("out", "here"))
    files = sorted(path.relative_to(one).as_posix() for path in one.rglob("*") if path.is_file())
    assert files == sorted(path.relative_to(other).as_posix() for path in other.rglob("*") if path.is_file())
    assert [name for name in files if (one / name).read_bytes() != (other / name).read_bytes()] == []


def test_an_installed_copy_calls_itself_by_its_own_name_and_holds_every_theme(
    installed: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    assert "usage: running-change " in run(installed / "running-change", "--help", cwd=tmp_path)
    ask = "from guide.press.theme import THEMES, themes_known; print(THEMES, *themes_known())"
    folder, *names = run(installed / "python", "-c", ask, cwd=tmp_path).split()
    assert str(installed.parent) in folder
    assert names == sorted(path.name for path in THEMES.iterdir() if path.is_dir())


def test_the_lowest_packages_are_those_that_the_project_states() -> None:
    assert [re.split("==", one)[0] for one in lowest()] == ["jinja2", "markdown", "pyyaml", "livereload", "pillow"]
    assert all(re.fullmatch(r"[a-z0-9]+==[0-9.]+", one) for one in lowest())


def _pythons() -> list[str]:
    """Return the programs of those Pythons from 3.11 to 3.14 that are on this machine: on its path, or beside ours."""
    beside = pathlib.Path(sys.base_prefix).parent
    found = []
    for version in ("3.11", "3.12", "3.13", "3.14"):
        named = [shutil.which(f"python{version}"), *map(str, sorted(beside.glob(f"{version}*/bin/python3")))]
        says = f"import sys; sys.exit(sys.version_info[:2] != ({version.replace('.', ', ')}))"
        runs = (one for one in named if one and subprocess.run([one, "-c", says], capture_output=True).returncode == 0)
        found += [one for one in [next(runs, None)] if one]
    return found


def test_every_python_on_this_machine_reads_the_whole_program_without_a_word() -> None:
    """Syntax, with what a Python warns of; `tests.command.wheel` has them make a guide, too."""
    compiled = """if True:
        import pathlib, sys
        for path in (one for name in ("guide", "tests") for one in pathlib.Path(name).rglob("*.py")):
            compile(path.read_bytes(), str(path), "exec")
        print("%d.%d" % sys.version_info[:2])
    """
    read = [run(one, "-W", "error", "-c", compiled, cwd=ROOT).strip() for one in [*_pythons(), sys.executable]]
    assert f"{sys.version_info[0]}.{sys.version_info[1]}" in read
