"""Shows a guide in the browser, anew at every save.

The site is served from memory, so nothing is written that a watcher could take for a save. What is watched is
compared as a whole (names, times and sizes), so an editor that saves by renaming is seen as well. A save that
cannot be built shows its findings in place of every page, and the next good save brings the pages back. A
page that was open while the preview was started anew finds out when it connects again.
"""

from __future__ import annotations

import errno
import hashlib
import logging
import mimetypes
import os
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from livereload import Server
from livereload.handlers import LiveReloadHandler, LiveReloadJSHandler
from livereload.watcher import Watcher
from tornado import web

from guide.finding import Finding
from guide.press.scripts import BROWSER
from guide.sentence import Sentence, sentence
from guide.words.say import Words

__all__ = ["Built", "NoPort", "findings_page", "serve_preview", "with_reload"]

Built = tuple[Mapping[str, bytes] | None, tuple[Finding, ...]]  # None: it cannot be built
_SETTLE_SECONDS = 0.1  # files that still change are still being saved
_TAKEN = (errno.EADDRINUSE, errno.EACCES, 10013)  # the last is what Windows says of a port kept back
_PORTS = 20  # how many ports are tried from the one asked for
_HOST = "127.0.0.1"  # this computer alone
_IGNORED = (".git", "__pycache__")


class NoPort(Exception):
    """No port is free; ``says`` is the sentence that tells."""

    def __init__(self, says: Sentence) -> None:
        super().__init__(says.id)
        self.says = says


class _State:
    """What is being shown, and how it is made anew."""

    def __init__(
        self, build: Callable[[], Built], watched: Sequence[Path], words: Words, show: Callable[[str], None]
    ) -> None:
        self.build, self.watched, self.words, self.show = build, watched, words, show
        self.site: Mapping[str, bytes] = {}
        self.trouble: bytes | None = None
        self.digest = ""
        self.port = 0
        self.seen = snapshot(watched)
        self.make()

    def make(self) -> None:
        """Build, and show either the site or what is wrong with it."""
        site, findings = self.build()
        if site is None:
            self.trouble = findings_page(findings, self.words)
            self.show(self.words.say("press.preview.broken"))
        else:
            self.site, self.trouble = site, None
        whole = hashlib.sha256(self.trouble or b"")
        for name in sorted(self.site):
            whole.update(name.encode() + b"\0" + hashlib.sha256(self.site[name]).digest())
        self.digest = whole.hexdigest()[:16]

    def changed(self) -> str:
        """Return the name of something saved since the last call, once it has settled; else nothing."""
        now = snapshot(self.watched)
        if now == self.seen:
            return ""
        while True:
            time.sleep(_SETTLE_SECONDS)
            later = snapshot(self.watched)
            if later == now:
                break
            now = later
        names = sorted(set(now.items()) ^ set(self.seen.items()))
        self.seen = now
        return names[0][0]


class _Eyes(Watcher):  # type: ignore[misc]
    """Looks at the watched folders as a whole instead of at each file's time."""

    def __init__(self, state: _State) -> None:
        super().__init__()
        self.state = state
        self._tasks: dict[str, dict[str, object]] = {"content": {}}

    def examine(self) -> tuple[str | None, None]:
        self.filepath = self.state.changed() or None
        if self.filepath:
            self.state.make()
        return self.filepath, None


class _Pages(web.RequestHandler):
    """Serves the site from memory."""

    def initialize(self, state: _State) -> None:
        self.state = state

    def get(self, name: str) -> None:
        self.set_header("Cache-Control", "no-store")
        name = unquote(name) or "index.html"
        if name == "preview-digest":
            self.set_header("Content-Type", "text/plain")
            self.write(self.state.digest)
            return
        if name == "preview.js":
            self.set_header("Content-Type", "text/javascript; charset=UTF-8")
            self.write((BROWSER / "preview.js").read_bytes())
            return
        data = self.state.site.get(name)
        if self.state.trouble is not None and (data is None or name.endswith(".html")):
            name, data = "findings.html", self.state.trouble
        if data is None:
            raise web.HTTPError(404)
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        self.set_header("Content-Type", f"{kind}; charset=UTF-8" if kind.startswith("text/") else kind)
        self.write(with_reload(data, self.state.digest, self.state.port) if name.endswith(".html") else data)

    def head(self, name: str) -> None:
        self.get(name)


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
            [
                (r"/livereload", LiveReloadHandler),
                (r"/livereload.js", LiveReloadJSHandler),
                (r"/(.*)", _Pages, {"state": self.state}),
            ]
        )
        self.state.port = _listen(application, port, host)
        self.ready(self.state.port)

    def _setup_logging(self) -> None:
        for name in ("livereload", "tornado", "tornado.access"):
            logging.getLogger(name).setLevel(logging.ERROR)


def serve_preview(
    build: Callable[[], Built],
    watched: Sequence[Path],
    *,
    port: int = 5500,
    open_browser: bool = True,
    words: Words,
    show: Callable[[str], None] = print,
) -> None:
    """Serve what ``build`` makes until interrupted; build again whenever something ``watched`` is saved.

    What there is to say goes to ``show`` in the language of ``words``. Takes the next free port when the one asked
    for is taken. Raises NoPort when none of them is free.
    """

    def ready(free: int) -> None:
        if free != port:
            show(words.say("press.preview.elsewhere", asked=port, free=free))
        address = f"http://{_HOST}:{free}/"
        show(words.say("press.preview.at", address=address))
        if open_browser:
            threading.Timer(0.2, webbrowser.open, (address,)).start()

    _Preview(_State(build, watched, words, show), ready).serve(port=port, host=_HOST)


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
    page = page.replace(b"connect-src 'self'", f"connect-src 'self' ws://{_HOST}:{port}".encode(), 1)
    page = page.replace(b"<html ", f'<html data-preview="{digest}" '.encode(), 1)
    return page.replace(b"</head>", f"{scripts}</head>".encode(), 1)


def findings_page(findings: Sequence[Finding], words: Words) -> bytes:
    """Return a page that shows what there is to put right, as the terminal prints it."""
    said = {part: escape(words.say(f"press.preview.{part}")) for part in ("title", "heading", "lead")}
    listed = "\n".join(
        f'<li class="{finding.severity}"><pre>{escape(finding.printed(words))}</pre></li>' for finding in findings
    )
    return f"""<!doctype html>
<html lang="{escape(words.language)}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{said["title"]}</title><style>
body {{ margin: 2rem auto; max-width: 60rem; padding: 0 1rem; background: #faf7f0; color: #1c1a17;
  font: 1.125rem/1.45 Palatino, P052, serif; }}
h1 {{ font-weight: 400; }} ul {{ list-style: none; padding: 0; }} li {{ border-top: 1px solid #7c7466; }}
pre {{ white-space: pre-wrap; overflow-wrap: anywhere; font-size: .9375rem; }}
.error pre {{ font-weight: 600; }}
</style></head><body><h1>{said["heading"]}</h1>
<p>{said["lead"]}</p>
<ul>
{listed}
</ul></body></html>
""".encode()
