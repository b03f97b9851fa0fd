"""Shows a guide in the browser, anew at every save.

The site is served from memory, so nothing is written that a watcher could take for a save. What is watched is
compared as a whole (names, times and sizes), so an editor that saves by renaming is seen as well. A save is worked out
beside the server, which goes on answering; then a page is made when it is asked for, so the one that the editor looks
at comes first, and the rest when somebody goes there. A page is shown anew only where it, or a file that it loads, has
changed. Every page has a strip at its head with what there is to put right, which is never written anywhere. A save
that cannot be built leaves the last good pages, with a bar that says so. What nobody foresaw is shown in place of every
page, as a finding that says what to send to whom. A page that was open while the preview was started anew finds out
when it connects again.
"""

from __future__ import annotations

import errno
import hashlib
import logging
import mimetypes
import os
import posixpath
import re
import sys
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import unquote

from livereload import Server
from livereload.handlers import LiveReloadHandler, LiveReloadJSHandler
from livereload.watcher import Watcher
from tornado import web
from tornado.ioloop import IOLoop

from guide.finding import Finding, Severity, told_once
from guide.press.own_host import HOSTS, OwnHost
from guide.press.scripts import BROWSER
from guide.press.single_file import SINGLE
from guide.press.told_findings import FINDINGS, STRIP_STYLE, counts_said, findings_page, handbook_page, with_strip
from guide.sentence import Sentence, sentence
from guide.words.say import Words

__all__ = ["Built", "NoPort", "serve_preview", "with_reload"]


class Pages(Protocol):
    """A site whose pages may be made when they are asked for; a mapping of output names to bytes is one too."""

    def get(self, name: str, /) -> bytes | tuple[Finding, ...] | None:
        """Return a page or file; what keeps it from being made; None where there is none. Any thread may ask."""


class Edition(Pages, Protocol):
    """A site that knows which of its pages a finding concerns, and what on them it speaks of."""

    def concerned(self, finding: Finding, /) -> Mapping[str, str]:
        """Return the output names of the pages, each with what is spoken of there (`guide.press.concerned`)."""


Built = tuple[Edition | None, tuple[Finding, ...]]  # None: it cannot be built
_SETTLE_SECONDS = 0.1  # files that still change are still being saved
_TAKEN = (errno.EADDRINUSE, errno.EACCES, 10013)  # the last is what Windows says of a port kept back
_PORTS = 20  # how many ports are tried from the one asked for
_HOST = HOSTS[0]  # this computer alone
_NOT_SHOWN = ("worker.js",)  # a browser that kept this edition would go on showing it
_LOADED = re.compile(rb'(?:src|href)="([^":?#]+[.](?:js|css|svg|png|jpg))"')  # the files that a page loads
_IGNORED = (".git", "__pycache__")


class NoPort(Exception):
    """No port is free; ``says`` is the sentence that tells."""

    def __init__(self, says: Sentence) -> None:
        super().__init__(says.id)
        self.says = says


class _State:
    """What is being shown, and how it is made anew."""

    def __init__(
        self,
        build: Callable[[], Built],
        watched: Sequence[Path],
        spoken: Callable[[], Words],
        show: Callable[[str | Finding], None],
        net: Callable[[Exception], Finding],
        own: Mapping[str, Callable[[], bytes | None]],
    ) -> None:
        self.build, self.watched, self.spoken, self.show = build, watched, spoken, show
        self.words = spoken()  # of the last save
        self.net, self.own = net, own
        self.site: Edition | None = None  # the last good edition
        self.trouble: bytes | None = None  # what is shown in place of every page
        self.findings: tuple[Finding, ...] | None = None  # of the last save; None before there was any
        self.broken = False  # the last save cannot be shown, so that the pages are of the last good one
        self.port = 0
        self.seen = snapshot(watched)
        self._builder = ThreadPoolExecutor(1)
        self._building: Future[tuple[str, Built]] | None = None
        self._take(self._built())

    def look(self) -> str:
        """Begin to build where something was saved; return its name once what came of it is shown, else nothing."""
        if self._building is None:
            now = snapshot(self.watched)
            if now != self.seen:
                self._building = self._builder.submit(self._settle, now)
        elif self._building.done():
            done, self._building = self._building, None
            name, built = done.result()
            self._take(built)
            return name
        return ""

    def _settle(self, now: dict[str, tuple[int, int]]) -> tuple[str, Built]:
        """Wait until nothing is saved any more and build; return the name of something that was saved, too."""
        while True:
            time.sleep(_SETTLE_SECONDS)
            later = snapshot(self.watched)
            if later == now:
                break
            now = later
        names = sorted(set(now.items()) ^ set(self.seen.items()))
        self.seen = now
        return names[0][0] if names else ".", self._built()

    def _built(self) -> Built:
        try:
            return self.build()
        except Exception as error:
            return None, (self.told(error),)

    def told(self, error: Exception) -> Finding:
        """Say in the terminal what nobody foresaw, and return its finding."""
        finding = self.net(error)
        self.show(finding)
        return finding

    def caught(self, error: Exception) -> None:
        """Show what nobody foresaw in place of every page, until the next save: a page that lacks a file of its own
        would only look odd."""
        self.trouble = findings_page((self.told(error),), self.words)

    def _take(self, built: Built) -> None:
        """Show a site, or what is wrong with it beside the last good one; say what there is to put right now."""
        site, findings = built
        self.words = self.spoken()
        self.broken, self.trouble = site is None, None
        self.site = self.site if site is None else site
        if self.broken:
            self.show(self.words.say("press.preview.broken"))
        self._tell(findings)
        self.findings = findings

    def _tell(self, findings: tuple[Finding, ...]) -> None:
        """Say in the terminal how many findings there are, and those that the last save brought."""
        before = {(one.code, one.place.file, one.message) for one in self.findings or ()}
        first = self.findings is None
        told = (one for one in findings if one.severity is Severity.ERROR or not first)
        for finding in told_once(one for one in told if (one.code, one.place.file, one.message) not in before):
            self.show(finding)
        self.show(counts_said(findings, self.words))

    def concerned(self, finding: Finding) -> Mapping[str, str]:
        """Return which pages a finding concerns, as `Edition.concerned` does."""
        return {} if self.site is None else self.site.concerned(finding)

    def all_findings(self) -> bytes:
        """Return the page of all findings."""
        return findings_page(self.findings or (), self.words, self.concerned, broken=self.broken)

    def page(self, name: str) -> tuple[str, bytes | None]:
        """Return what is shown under a name, and the name by which it is a page or a file; None for nothing."""
        is_page = name.endswith(".html")
        if is_page and self.trouble is not None:
            return FINDINGS, self.trouble
        if name == FINDINGS:
            return FINDINGS, self.all_findings()
        data = self.own[name]() if name in self.own else self._file(name)
        if isinstance(data, tuple):
            return FINDINGS, findings_page(data, self.words)
        if data is None:
            return (FINDINGS, self.all_findings()) if self.broken and is_page else (name, None)
        if is_page and name != SINGLE and name not in self.own:
            data = with_strip(data, name, self.findings or (), self.words, self.concerned, broken=self.broken)
        return name, data

    def digest(self, name: str) -> str:
        """Return a digest of a page and of all that it loads, which changes when what is to be seen does."""
        shown, data = self.page(name)
        whole = hashlib.sha256(data or b"")
        for loaded in sorted(set(_LOADED.findall(data or b""))) if shown == name else ():
            part = self._file(posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(loaded.decode()))))
            whole.update(loaded + b"\0" + (part if isinstance(part, bytes) else b""))
        return whole.hexdigest()[:16]

    def _file(self, name: str) -> bytes | tuple[Finding, ...] | None:
        return None if self.site is None else self.site.get(name)

    def answer(self, name: str) -> tuple[str, bytes | None]:
        """Return what the server answers: a page that follows the preview, or a file as it is."""
        shown, data = self.page(name)
        if data is not None and shown.endswith(".html"):
            data = with_reload(data, self.digest(name), self.port)
        return shown, data


class _Eyes(Watcher):  # type: ignore[misc]
    """Looks at the watched folders as a whole instead of at each file's time."""

    def __init__(self, state: _State) -> None:
        super().__init__()
        self.state = state
        self._tasks: dict[str, dict[str, object]] = {"content": {}}

    def examine(self) -> tuple[str | None, None]:
        try:
            self.filepath = self.state.look() or None
        except Exception as error:
            self.state.caught(error)
            self.filepath = "."
        return self.filepath, None


class _Pages(OwnHost):
    """Serves the site from memory."""

    def initialize(self, state: _State) -> None:
        self.state = state

    async def get(self, name: str) -> None:
        self.set_header("Cache-Control", "no-store")
        name = unquote(name) or "index.html"
        if name == "preview.js":
            self.set_header("Content-Type", "text/javascript; charset=UTF-8")
            self.write((BROWSER / "preview.js").read_bytes())
            return
        if name.startswith("handbook/") and name.endswith(".md"):
            told = handbook_page(name.removeprefix("handbook/"), self.state.watched[0], self.state.words)
            if told is None:
                raise web.HTTPError(404)
            self.set_header("Content-Type", "text/html; charset=UTF-8")
            self.write(told)
            return
        if name == "preview.css":
            self.set_header("Content-Type", "text/css; charset=UTF-8")
            self.write(STRIP_STYLE)
            return
        ask = IOLoop.current().run_in_executor
        if name == "preview-digest":
            self.set_header("Content-Type", "text/plain")
            page = unquote(self.get_query_argument("page", "")).lstrip("/") or "index.html"
            self.write(await ask(None, self.state.digest, page))
            return
        name, data = await ask(None, self.state.answer, name) if name not in _NOT_SHOWN else (name, None)
        if data is None:
            raise web.HTTPError(404)
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        self.set_header("Content-Type", f"{kind}; charset=UTF-8" if kind.startswith("text/") else kind)
        self.write(data)

    async def head(self, name: str) -> None:
        await self.get(name)

    def write_error(self, status_code: int, **how: Any) -> None:
        error = how.get("exc_info", (None, None))[1]
        if not isinstance(error, Exception) or isinstance(error, web.HTTPError):
            super().write_error(status_code, **how)
            return
        self.state.caught(error)
        self.set_header("Content-Type", "text/html; charset=UTF-8")
        self.finish(self.state.answer(FINDINGS)[1])


class _Socket(OwnHost, LiveReloadHandler):  # type: ignore[misc]
    """livereload's websocket, which a page of the preview alone may open."""

    def check_origin(self, origin: str) -> bool:  # noqa: ARG002  (`prepare` has looked at it)
        return True


class _Script(OwnHost, LiveReloadJSHandler):  # type: ignore[misc]
    """livereload's script."""


class _Preview(Server):  # type: ignore[misc]
    """livereload's server, with our pages and without its inline script, which our pages refuse."""

    def __init__(self, state: _State, ready: Callable[[int], None]) -> None:
        super().__init__(watcher=_Eyes(state))
        self.state, self.ready = state, ready

    def application(self, port: int, host: str, **_rest: Any) -> None:
        LiveReloadHandler.watcher = self.watcher
        LiveReloadHandler.live_css = False
        LiveReloadHandler.DEFAULT_RELOAD_TIME = 0  # a second save soon after the first is shown as well
        application = web.Application(
            [(r"/livereload", _Socket), (r"/livereload.js", _Script), (r"/(.*)", _Pages, {"state": self.state})]
        )
        self.state.port = application.settings["port"] = _listen(application, port, host)
        self.ready(self.state.port)

    def _setup_logging(self) -> None:
        for name in ("livereload", "tornado"):  # what goes wrong is said as a finding, once
            logging.getLogger(name).setLevel(logging.ERROR if sys.flags.dev_mode else logging.CRITICAL)


def serve_preview(
    build: Callable[[], Built],
    watched: Sequence[Path],
    *,
    port: int = 5500,
    open_browser: bool = True,
    spoken: Callable[[], Words],
    net: Callable[[Exception], Finding],
    own: Mapping[str, Callable[[], bytes | None]],
    show: Callable[[str | Finding], None],
) -> None:
    """Serve what ``build`` makes until interrupted; build again whenever something ``watched`` is saved.

    What there is to say goes to ``show``, in the language that ``spoken`` gives, asked anew at every save, or as a
    finding; ``net`` makes a finding of an exception that nothing else caught; ``own`` makes the pages that are the
    preview's alone, by name (those of `FOR_EDITOR`); None where the guide cannot be made. Takes the next free port when
    the one asked for is taken. Raises NoPort when none of them is free.
    """

    def ready(free: int) -> None:
        words = spoken()
        if free != port:
            show(words.say("press.preview.elsewhere", asked=port, free=free))
        address = f"http://{_HOST}:{free}/"
        show(words.say("press.preview.at", address=address))
        for name in own:
            what = words.say(f"press.preview.editor.{name.removesuffix('.html')}")
            show(words.say("press.preview.editor", what=what, address=f"{address}{name}"))
        if open_browser:
            threading.Timer(0.2, webbrowser.open, (address,)).start()

    _Preview(_State(build, watched, spoken, show, net, own), ready).serve(port=port, host=_HOST)


def _listen(application: web.Application, first: int, host: str) -> int:
    """Listen at the first port from ``first`` on that nothing else listens at, and return it."""
    for port in range(first, first + _PORTS):
        try:
            application.listen(port, address=host)
        except OSError as error:
            if error.errno not in _TAKEN:
                raise
        else:
            return port
    raise NoPort(sentence("press.preview.none-free", first=first, last=first + _PORTS - 1))


def snapshot(folders: Sequence[Path]) -> dict[str, tuple[int, int]]:
    """Return every watched file with the time and size it has now."""
    found: dict[str, tuple[int, int]] = {}
    for folder in folders:
        for root, inside, files in os.walk(folder):
            inside[:] = [name for name in inside if name not in _IGNORED]
            for name in files:
                path = os.path.join(root, name)
                try:
                    status = os.stat(path)
                except OSError:
                    continue  # gone between the two looks
                found[path] = (status.st_mtime_ns, status.st_size)
    return found


def with_reload(page: bytes, digest: str, port: int) -> bytes:
    """Return a page that follows the preview, and may talk to it and to nobody else."""
    scripts = f'<script src="/preview.js"></script><script src="/livereload.js?port={port}&amp;maxdelay=2000"></script>'
    sockets = " ".join(f"ws://{host}:{port}" for host in HOSTS)
    page = page.replace(b"connect-src 'self'", f"connect-src 'self' {sockets}".encode(), 1)
    page = page.replace(b"<html ", f'<html data-preview="{digest}" '.encode(), 1)
    return page.replace(b"</head>", f"{scripts}</head>".encode(), 1)
