"""What the browser tests share about the built guide: which pages to take, how to open and serve them."""

from __future__ import annotations

import contextlib
import functools
import http.server
import pathlib
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import unquote, urlsplit

__all__ = [
    "IN_THE_SUN",
    "MIDDLE_CAR",
    "OUT_OF_THE_SUN",
    "Served",
    "Watched",
    "expect",
    "follow",
    "go",
    "kinds",
    "open_page",
    "probe",
    "samples",
    "serve",
    "serving",
    "settle",
]

# a middle car as a volunteer finds it through the glass; what is not named here cannot be told
MIDDLE_CAR = {
    "body": "coupe",
    "bonnet-badge": "foil",
    "front-lamps": "clear",
    "wiper-rest": "rest-left",
    "outside-mirror": "door-bright",
    "door-handles": "button",
    "filler-cap": "snap",
    "tail-lamps": "round",
    "switches": "rocker",
    "dials": "black-rim",
    "horn-push": "crest",
    "dash-facing": "crackle",
    "inside-mirror": "bright-back",
    "seat-facing": "wide",
    "sun-visors": "pair",
    "steering-wheel": "thin-rim",
    "demister-vents": "two",
    "courtesy-lamp": "pair",
    "handbrake-grip": "ribbed",
    "tunnel-tray": "open",
    "gear-knob": "ball",
}

_PROBES = (pathlib.Path(__file__).parent / "probes.js").read_text(encoding="utf-8")

_SCREENS = {  # places in the guide that an address alone leads to
    "key.html": (
        "",
        "#--reach=outside,glass,door",
        "#switches=rocker&--reach=glass&--at=result",
        "#--reach=glass&--look=switches&--several",
        "#--car=C2500&--reach=glass&--at=result",
    ),
    "fits.html": ("", "#--car=C2500&switches=rocker&horn-push=padded"),
    "car.html": ("", "#switches=toggle&--car=C2500&--known=part:belts=1969-03", "#--car=C2500&--depth=list"),
    "search.html": ("", "?q=switches", "?q=nothing-like-it"),
    "sheets.html": ("", "#--car=C1840", "#year=1968"),
}


# What pressing the button for bright sun does to a page, and what pressing it again does.
IN_THE_SUN = """document.documentElement.dataset.light = "sun";
document.querySelectorAll("[data-sun]").forEach((one) => one.setAttribute("aria-pressed", "true"));"""
OUT_OF_THE_SUN = """delete document.documentElement.dataset.light;
document.querySelectorAll("[data-sun]").forEach((one) => one.setAttribute("aria-pressed", "false"));"""


PATIENCE = 30_000  # milliseconds until something that should come is given up: far more than the slowest machine takes


def expect(found: Any) -> Any:
    """Return playwright's assertions of a locator, which wait until they hold."""
    from playwright.sync_api import expect as waiting  # not at the top: without it these tests are skipped

    waiting.set_options(timeout=PATIENCE)
    return waiting(found)


class Watched:
    """A page of Chromium in a context of its own, with whatever nobody should meet written down."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.faults: list[str] = []
        self.requests: list[str] = []
        page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        page.on("console", self._heard)
        page.on("requestfailed", lambda request: self.faults.append(f"failed: {request.url}"))
        page.on("request", lambda request: self.requests.append(request.url))

    def _heard(self, message: Any) -> None:
        if message.type == "error":
            self.faults.append(f"console: {message.text}")

    @property
    def outside(self) -> list[str]:
        """Return the requests that went neither to the disk nor to this machine."""
        return [url for url in self.requests if not re.match(r"file:|data:|blob:|http://127\.0\.0\.1:", url)]


@contextlib.contextmanager
def open_page(chromium: Any, *, width: int = 390, height: int = 844, **options: Any) -> Iterator[Watched]:
    """Open an empty page in a context of its own; ``options`` are the context's."""
    context = chromium.new_context(viewport={"width": width, "height": height}, **options)
    try:
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        yield Watched(page)
    finally:
        context.close()


def kinds(out: pathlib.Path) -> dict[str, list[pathlib.Path]]:
    """Return every page of a built guide by kind: one kind for each page at the top, one for each folder.

    Pages at addresses of old, which only lead on, are none.
    """
    found: dict[str, list[pathlib.Path]] = {}
    for path in sorted(out.rglob("*.html")):
        if 'http-equiv="refresh"' in path.read_text(encoding="utf-8"):
            continue
        inside = path.relative_to(out)
        found.setdefault(inside.parts[0] if len(inside.parts) > 1 else inside.name, []).append(path)
    return found


def samples(out: pathlib.Path, *, longest: bool = True) -> list[str]:
    """Return addresses for every kind of page of a guide: of a folder the first, and the longest as well if asked."""
    addresses = []
    for name, pages in kinds(out).items():
        if name.endswith(".html"):
            addresses += [name + end for end in _SCREENS.get(name, ("",))]
        else:
            taken = [pages[0], max(pages, key=lambda path: (path.stat().st_size, path.name))]
            addresses += [path.relative_to(out).as_posix() for path in dict.fromkeys(taken[: 1 + longest])]
    return addresses


@dataclass
class Served:
    """A folder that is being served; another may take its place, and files may be refused, while it runs."""

    folder: pathlib.Path
    address: str = ""  # ends in a slash
    refused: set[str] = field(default_factory=set)  # names below the folder that get an error
    asked: list[str] = field(default_factory=list)  # names asked for, in order
    rewrites: bool = False  # as some hosts do: shortens pages, styles and scripts, and leads away from ".html"


class _Handler(http.server.SimpleHTTPRequestHandler):
    """Serves what a `Served` says at the moment, and lets nothing be kept without asking."""

    def __init__(self, served: Served, *args: Any) -> None:
        self.served = served
        super().__init__(*args, directory=str(served.folder))

    def do_GET(self) -> None:
        name = unquote(urlsplit(self.path).path).lstrip("/")
        self.served.asked.append(name)
        del self.headers["If-Modified-Since"]  # two editions made within a second would pass for one
        self.directory = str(self.served.folder)  # not at the opening: a browser opens connections ahead
        if name in self.served.refused:
            self.send_error(503)
        elif self.served.rewrites and name.endswith(".html"):
            self.send_response(301)
            self.send_header("Location", self.path.replace(".html", "", 1))
            self.end_headers()
        elif self.served.rewrites and (found := self._rewritten(name)) is not None:
            self.send_response(200)
            self.send_header("Content-Type", found[0])
            self.send_header("Content-Length", str(len(found[1])))
            self.end_headers()
            self.wfile.write(found[1])
        else:
            super().do_GET()

    def _rewritten(self, name: str) -> tuple[str, bytes] | None:
        """Return what such a host sends in place of a page, a style or a script: its kind and its bytes."""
        for path, kind in ((f"{name or 'index'}.html", "text/html"), (name, "text/css"), (name, "text/javascript")):
            file = self.served.folder / path
            if file.is_file() and path.endswith({"text/html": ".html", "text/css": ".css"}.get(kind, ".js")):
                data = re.sub(rb"\n[ \t]*", b"\n", file.read_bytes())
                seen = b"<!-- seen -->" if kind == "text/html" else b"/* seen */"
                return kind, data + seen
        return None

    def log_message(self, format: str, *args: Any) -> None:
        pass

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()


@contextlib.contextmanager
def serving(folder: pathlib.Path) -> Iterator[Served]:
    """Serve a folder on this machine."""
    served = Served(folder)
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Handler, served))
    served.address = f"http://127.0.0.1:{server.server_address[1]}/"
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    try:
        yield served
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


@contextlib.contextmanager
def serve(folder: pathlib.Path) -> Iterator[str]:
    """Serve a folder on this machine; yields its address, ending in a slash."""
    with serving(folder) as served:
        yield served.address


def go(page: Any, out: pathlib.Path, address: str) -> None:
    """Open an address of the guide from disk, whatever is open before: the same page elsewhere is opened anew, too."""
    url = f"{out.as_uri()}/{address}"
    if page.url.partition("#")[0] == url.partition("#")[0]:
        page.goto("about:blank")
    page.goto(url)


def settle(page: Any) -> None:
    """Wait until the key shows the screen that was asked for last: the words of another area are fetched first, and the
    browser's own way back takes its time."""
    page.locator("main:not([aria-busy])").wait_for(state="attached")


def follow(link: Any) -> None:
    """Press a link to another page and wait until that page and its scripts have run."""
    with link.page.expect_event("load"):
        link.click()


def probe(page: Any, name: str, *, before: str = "0", after: str = "0") -> Any:
    """Return what one of the probes in probes.js finds in a page; other scripts may be run just before and after it."""
    return page.evaluate(
        f"() => {{\n{_PROBES};\n{before};\nconst found = probes.{name}();\n{after};\nreturn found;\n}}"
    )
