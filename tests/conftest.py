"""What several folders of tests share: the demo guide as read, as built, and a browser to look at it."""

from __future__ import annotations

import importlib
import os
import pathlib
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.told import ENGLISH

ROOT = pathlib.Path(__file__).resolve().parent.parent
CONTENT = ROOT / "content"
CHROMIUM = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


_HERE = ("127.", "::1", "localhost", "0.0.0.0")


def _stay_at_home(event: str, arguments: tuple[Any, ...]) -> None:
    """Let no test ask anything of a network, whatever it imports; this machine's own addresses are no network."""
    if event == "socket.connect" and isinstance(arguments[1], tuple):
        host = str(arguments[1][0])
    elif event in ("socket.getaddrinfo", "socket.gethostbyname"):
        host = str(arguments[0] or "localhost")
    else:
        return
    if not host.startswith(_HERE):
        raise RuntimeError(f"asks something of {host}, which is not this machine")


sys.addaudithook(_stay_at_home)  # PEP 578; it holds for the whole run

# The programs that tests start are compiled once for all of them, as on any machine that is not set otherwise.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False


def absent(what: str) -> None:
    """Skip where a tool is missing, but never in CI: there a missing tool fails."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing, and in CI nothing may be skipped")
    pytest.skip(f"{what} is missing")


def reference_library(name: str) -> Any:
    """Return a library that only tests need, to hold figures against; skip without it (in CI: fail)."""
    try:
        return importlib.import_module(name)
    except ImportError:
        absent(name)
        raise AssertionError("not reached") from None


def find_program(*names: str) -> str:
    """Return the path of the first program found, or skip (in CI: fail)."""
    for name in names:
        path = shutil.which(name)
        if path:
            return path
    absent(names[0])
    raise AssertionError("not reached")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files that take longest, so that at the end no process waits for another.

    A file is done by one process (`--dist loadfile`), so that what it makes for itself is made once. Whatever opens a
    browser is marked so.
    """
    for item in items:
        if "playwright" in getattr(item, "fixturenames", ()):
            item.add_marker("browser")
    items.sort(key=lambda item: not any(item.iter_markers("long")))


@pytest.fixture(scope="session")
def root() -> pathlib.Path:
    """The top of the project."""
    return ROOT


@pytest.fixture(scope="session")
def playwright() -> Iterator[Any]:
    """What drives Chromium and Firefox; there may be only one in a process."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        absent("playwright")
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Any) -> Iterator[Any]:
    """A Chromium that every browser test shares; each test opens its own context.

    Where Chromium's build without windows is there it is that one: the same engine, which opens a context in a third
    of the time. `tests/browser/engines.py` drives the whole browser.
    """
    path = shutil.which("chromium-headless-shell") or find_program(*CHROMIUM)
    browser = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_ARGUMENTS))
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def node() -> str:
    """The path of Node.js, which runs the browser's half of the twins."""
    return find_program("node", "nodejs")


@pytest.fixture(scope="session")
def reading() -> Any:
    """The demo guide as read."""
    from guide.facts.read import read_guide

    return read_guide(CONTENT)


@pytest.fixture(scope="session")
def guide(reading: Any) -> Any:
    """The demo guide's facts."""
    assert reading.guide is not None, "\n".join(finding.printed(ENGLISH) for finding in reading.findings)
    return reading.guide


@pytest.fixture(scope="session")
def limits(guide: Any) -> Any:
    """The demo guide's limits."""
    from guide.limits.derive import derive_limits

    return derive_limits(guide)


@pytest.fixture(scope="session")
def model(guide: Any, limits: Any) -> Any:
    """The demo guide's model, as the browser reads it."""
    from guide.dating.building.build import build_model
    from guide.dating.model import dump_model
    from tests.dating.loading import load_model

    return load_model(dump_model(build_model(guide, limits)))


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[pathlib.Path], object]) -> pathlib.Path:
    """Return a folder that the first process of a run that asks for it makes, and the others wait for."""
    top = factory.getbasetemp()
    folder = (top.parent if os.environ.get("PYTEST_XDIST_WORKER") else top) / name
    done = folder / "done"
    try:
        folder.mkdir()
    except FileExistsError:
        until = time.monotonic() + 300
        while not done.exists():
            assert time.monotonic() < until, f"whoever makes {name} never came to an end"
            time.sleep(0.05)
    else:
        try:
            make(folder)
        except BaseException:
            done.write_text("failed", encoding="utf-8")
            raise
        done.touch()
    assert not done.read_text(encoding="utf-8"), f"{name} could not be made, see the first test that wanted it"
    return folder


@pytest.fixture(scope="session")
def built_guide(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The demo guide, built once for all tests, which leave it as it is."""
    from guide.command.main import main

    def make(folder: pathlib.Path) -> None:
        assert main(["--content", str(CONTENT), "--out", str(folder / "out")]) == 0

    return made_once(tmp_path_factory, "guide", make) / "out"


@pytest.fixture(scope="session")
def widest_guide(built_guide: pathlib.Path, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The demo guide as a machine shows it that has only the DejaVu faces, the widest in common use."""
    known = subprocess.run([find_program("fc-list"), ":", "family"], capture_output=True, text=True, check=True).stdout
    if not {"DejaVu Serif", "DejaVu Sans"} <= set(known.replace(",", "\n").splitlines()):
        absent("the DejaVu faces (Debian: fonts-dejavu)")

    def make(folder: pathlib.Path) -> None:
        shutil.copytree(built_guide, folder / "out")
        look = folder / "out" / "style" / "look.css"
        text = look.read_text(encoding="utf-8")
        for role, face in (("serif", "DejaVu Serif"), ("sans", "DejaVu Sans")):
            text, count = re.subn(rf"--{role}: [^;]+;", f'--{role}: "{face}";', text)
            assert count == 1, f"look.css should name the {role} faces once"
        look.write_text(text, encoding="utf-8")

    return made_once(tmp_path_factory, "widest", make) / "out"


@pytest.fixture(params=("theme", "widest"))
def faced_guide(request: pytest.FixtureRequest) -> pathlib.Path:
    """The demo guide in the theme's own faces, and in the widest."""
    name = {"theme": "built_guide", "widest": "widest_guide"}[request.param]
    return pathlib.Path(request.getfixturevalue(name))
