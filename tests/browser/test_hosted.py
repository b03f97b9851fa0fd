"""The demo published under a sub-path of a plain web server and opened in three engines, with a signal and without."""

from __future__ import annotations

import pathlib
import shutil
from typing import Any

import pytest

from guide.command.main import main
from tests.browser.engines import ENGINES, Engine, open_engine, until
from tests.browser.site import serving
from tests.conftest import CONTENT

pytestmark = pytest.mark.browser

UNDER = "club/tern"  # the path on the host, as a club's guide seldom has a host of its own
PAGES = ("key.html", "search.html?q=dials", "marks/switches.html", "timeline.html", "editions.html", "car.html", "")
READY = "document.readyState === 'complete' && [...document.querySelectorAll('h1')].some((one) => one.offsetHeight)"
HELD = "document.querySelector('[data-offline] [data-when=held]:not([hidden])')?.dataset.when"


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """A host's folder, with the demo as `publish` writes it at a path within; publishing keeps the edition's facts."""
    root = tmp_path_factory.mktemp("host")
    content = tmp_path_factory.mktemp("editor") / "content"
    shutil.copytree(CONTENT, content)
    (root / UNDER).parent.mkdir(parents=True)
    assert main(["publish", str(root / UNDER), "--content", str(content)]) == 0
    return root


def visit(engine: Engine, address: str) -> None:
    """Open each page and wait until it shows its title."""
    for page in PAGES:
        engine.open(f"{address}{page}")
        until(engine, READY)


@pytest.mark.parametrize("name", list(ENGINES))
def test_the_published_demo_opens_under_a_path_and_then_without_the_host(
    name: str, playwright: Any, host: pathlib.Path
) -> None:
    with open_engine(name, playwright, hosted=True) as engine:
        with serving(host) as served:
            address = f"{served.address}{UNDER}/"
            visit(engine, address)
            until(engine, f"({HELD}) === 'held'")
            assert [one for one in engine.faults() if not one.startswith(f"outside: {address}")] == []
            assert all(one.startswith(UNDER) for one in served.asked if one != "favicon.ico"), served.asked
        visit(engine, address)  # the host is gone
        engine.open(f"{address}key.html#switches=rocker&--reach=glass&--at=result")
        shown = "document.querySelector('[data-screen=result] h1')?.offsetHeight"
        until(engine, shown)  # what a reload breaks off midway, Firefox tells as a fault of the worker
        engine.reload()
        until(engine, shown)
        # WebKit's driver tells of no error while a page loads; of requests, by its proxy, only those to other hosts
        assert [one for one in engine.faults() if not one.startswith(f"outside: {address}")] == []
