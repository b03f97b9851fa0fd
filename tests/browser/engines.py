"""Three engines behind one small interface: Chromium and Firefox by playwright, WebKitGTK by selenium.

What each needs, and what it cannot tell:

* Chromium tells of every request and every error.
* Firefox is the one installed (``moz-firefox``); without ``security.fileuri.strict_origin_policy`` a driven
  Firefox hides the restrictions that its users meet. It tells of errors but not of requests.
* WebKitGTK needs a display (a virtual one is started) and tells of neither. Errors after a page has loaded
  are written down by a listener put in from outside; `webkit_console` gives those of the loading itself.

So that a request to the outside is noticed in any of them, Firefox and WebKit are given a proxy of ours that
writes down what it is asked for and answers nothing.
"""

from __future__ import annotations

import contextlib
import glob
import os
import pathlib
import socket
import subprocess
import threading
import time
import warnings
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, Protocol

from tests.conftest import absent, find_program

__all__ = ["ENGINES", "PHONE", "Engine", "firefox", "open_engine", "start_engine", "until", "webkit_console"]

PHONE = (390, 844)  # a phone's screen in CSS pixels
_PATIENCE_SECONDS = 30.0
_OWN_ERRANDS = ("mozilla.com", "mozilla.org", "mozilla.net", "firefox.com")  # what Firefox does for itself


class Engine(Protocol):
    """A browser with one page open."""

    name: str

    def open(self, address: str) -> None:
        """Go to an address and wait until it has loaded."""

    def ask(self, expression: str) -> Any:
        """Return the value of a JavaScript expression in the page."""

    def press(self, selector: str) -> None:
        """Press the first element that matches, as a finger would."""

    def fill(self, selector: str, text: str) -> None:
        """Type into a field, in place of what it holds."""

    def reload(self) -> None:
        """Load the page anew."""

    def faults(self) -> list[str]:
        """Return script errors, console errors and requests to the outside since the engine was opened."""


def until(engine: Engine, expression: str) -> Any:
    """Wait for a JavaScript expression to become true and return its value.

    Raises AssertionError after some seconds, naming the expression.
    """
    deadline = time.monotonic() + _PATIENCE_SECONDS
    while True:
        try:
            value = engine.ask(expression)
        except Exception:  # the page is just being replaced by another
            if time.monotonic() > deadline:
                raise
            value = None
        if value:
            return value
        assert time.monotonic() < deadline, f"{engine.name} never came to: {expression}"
        time.sleep(0.05)


class _Listener:
    """A proxy that answers nothing and remembers who was asked for."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._socket.getsockname()[1]
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self) -> None:
        while True:
            try:
                connection, _ = self._socket.accept()
            except OSError:
                return
            with connection:
                connection.settimeout(2)
                with contextlib.suppress(OSError):
                    words = connection.recv(4096).decode("latin-1").split()
                    if len(words) > 1 and not any(host in words[1] for host in _OWN_ERRANDS):
                        self.asked.append(f"outside: {words[1]}")

    def close(self) -> None:
        self._socket.close()


class FirefoxOrChromium:
    """Chromium and Firefox; ``page`` is playwright's own."""

    def __init__(self, name: str, browser: Any, listener: _Listener | None) -> None:
        self.name = name
        self._listener = listener
        self._known = len(listener.asked) if listener else 0  # by whoever had the browser before
        self._faults: list[str] = []
        self._context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]})
        self.page = self._context.new_page()
        self.page.set_default_timeout(_PATIENCE_SECONDS * 1000)
        self.page.on("pageerror", lambda error: self._faults.append(f"error: {error}"))
        self.page.on("console", self._heard)
        self.page.on("request", self._requested)

    def _heard(self, message: Any) -> None:
        if message.type == "error":
            self._faults.append(f"console: {message.text}")

    def _requested(self, request: Any) -> None:
        if request.url.startswith(("http:", "https:", "ws:")):
            self._faults.append(f"outside: {request.url}")

    def open(self, address: str) -> None:
        self.page.goto(address)

    def ask(self, expression: str) -> Any:
        return self.page.evaluate(expression)

    def press(self, selector: str) -> None:
        self.page.locator(selector).first.click()

    def fill(self, selector: str, text: str) -> None:
        self.page.locator(selector).first.fill(text)

    def reload(self) -> None:
        self.page.reload()

    def printed(self, paper: str, *, lying: bool = False) -> bytes:
        """Return the page as PDF on A4 or Letter, lying on its side if asked."""
        if self.name == "Chromium":
            return bytes(self.page.pdf(format=paper, landscape=lying))
        width, height = {"A4": (21.0, 29.7), "Letter": (21.59, 27.94)}[paper]  # centimetres
        # playwright hands Firefox inches where it expects centimetres
        width, height = (height, width) if lying else (width, height)
        return bytes(self.page.pdf(width=f"{width}in", height=f"{height}in"))

    def faults(self) -> list[str]:
        self.page.wait_for_timeout(50)
        return self._faults + (self._listener.asked[self._known :] if self._listener else [])

    def close(self) -> None:
        self._context.close()


# Put into a page that has loaded: errors from then on, kept for the tab.
_LISTEN = """
if (!window.heardFaults) {
  window.heardFaults = true;
  const kept = () => sessionStorage.getItem("test:faults") || "";
  const keep = (text) => sessionStorage.setItem("test:faults", kept() + text + "\\n");
  window.addEventListener("error", (event) => keep("error: " + event.message));
  window.addEventListener("unhandledrejection", (event) => keep("error: " + event.reason));
  const error = console.error;
  console.error = function (...words) { keep("console: " + words.join(" ")); error.apply(console, words); };
}
"""


class _WebKit:
    """WebKitGTK in its MiniBrowser."""

    name = "WebKit"

    def __init__(self, driver: Any, listener: _Listener) -> None:
        self._driver = driver
        self._listener = listener
        self._heard: set[str] = set()
        driver.set_page_load_timeout(_PATIENCE_SECONDS)
        driver.set_script_timeout(_PATIENCE_SECONDS)
        driver.set_window_rect(0, 0, *PHONE)

    def open(self, address: str) -> None:
        self._driver.get(address)
        self._driver.execute_script(_LISTEN)

    def ask(self, expression: str) -> Any:
        return self._driver.execute_script(f"return ({expression})")

    def press(self, selector: str) -> None:
        self._driver.execute_script(_LISTEN)
        self._element(selector).click()

    def fill(self, selector: str, text: str) -> None:
        field = self._element(selector)
        field.clear()
        field.send_keys(text)

    def _element(self, selector: str) -> Any:
        until(self, f"document.querySelector({selector!r})")
        return self._driver.find_element("css selector", selector)

    def reload(self) -> None:
        self._driver.refresh()

    def faults(self) -> list[str]:
        kept = self._driver.execute_script("return sessionStorage.getItem('test:faults') || ''")
        return [line for line in kept.splitlines() if line] + self._listener.asked

    def close(self) -> None:
        self._driver.quit()


Opened = contextlib.AbstractContextManager[Engine]


@contextlib.contextmanager
def _chromium(playwright: Any, *, hosted: bool = False) -> Iterator[Callable[[], Opened]]:  # noqa: ARG001
    from tests.conftest import CHROMIUM, CHROMIUM_ARGUMENTS

    path = find_program(*CHROMIUM)
    browser = playwright.chromium.launch(executable_path=path, args=list(CHROMIUM_ARGUMENTS))
    try:
        yield lambda: contextlib.closing(FirefoxOrChromium("Chromium", browser, None))
    finally:
        browser.close()


@contextlib.contextmanager
def _firefox(
    playwright: Any, *, hosted: bool = False, preferences: Mapping[str, Any] = MappingProxyType({})
) -> Iterator[Callable[[], contextlib.AbstractContextManager[FirefoxOrChromium]]]:
    path = find_program("firefox-esr", "firefox")
    with contextlib.closing(_Listener()) as listener:
        browser = playwright.firefox.launch(
            channel="moz-firefox",
            executable_path=path,
            firefox_user_prefs={
                "security.fileuri.strict_origin_policy": True,
                "network.proxy.type": 1,
                "network.proxy.http": "127.0.0.1",
                "network.proxy.http_port": listener.port,
                "network.proxy.ssl": "127.0.0.1",
                "network.proxy.ssl_port": listener.port,
                "network.proxy.allow_hijacking_localhost": not hosted,
                "network.proxy.no_proxies_on": "",
                **preferences,
            },
        )
        try:
            yield lambda: contextlib.closing(FirefoxOrChromium("Firefox", browser, listener))
        finally:
            browser.close()


@contextlib.contextmanager
def firefox(playwright: Any, preferences: Mapping[str, Any]) -> Iterator[FirefoxOrChromium]:
    """Open Firefox; ``preferences`` stand in for what playwright cannot emulate there."""
    with _firefox(playwright, preferences=preferences) as opened, opened() as engine:
        yield engine


@contextlib.contextmanager
def _webkit(playwright: Any, *, hosted: bool = False) -> Iterator[Callable[[], Opened]]:  # noqa: ARG001
    browser, program = _mini_browser(), find_program("WebKitWebDriver")
    from selenium import webdriver
    from selenium.webdriver.webkitgtk.service import Service

    @contextlib.contextmanager
    def opened() -> Iterator[Engine]:
        """Start it anew each time: it has no contexts that know nothing of one another."""
        with contextlib.closing(_Listener()) as listener:
            options = webdriver.WebKitGTKOptions()
            options.binary_location = browser
            proxy = f"--proxy=http://127.0.0.1:{listener.port}"
            own = "127.0.0.1" if hosted else "nobody.invalid"
            for argument in ("--automation", "--full-screen", proxy, f"--ignore-host={own}"):
                options.add_argument(argument)
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", DeprecationWarning)  # selenium about itself
                driver = webdriver.WebKitGTK(options=options, service=Service(program, env=environment))
            with contextlib.closing(_WebKit(driver, listener)) as engine:
                yield engine

    with _display() as environment:
        yield opened


ENGINES: dict[str, Callable[..., contextlib.AbstractContextManager[Callable[[], Opened]]]] = {
    "Chromium": _chromium,
    "Firefox": _firefox,
    "WebKit": _webkit,
}


def start_engine(
    name: str, playwright: Any, *, hosted: bool = False
) -> contextlib.AbstractContextManager[Callable[[], Opened]]:
    """Return an engine that runs until it is left, which each call opens with an empty page that knows of no other;
    skips (in CI: fails) when it is not installed.

    One for ``hosted`` pages reaches a server on this machine; otherwise that too is noticed as outside.
    """
    return ENGINES[name](playwright, hosted=hosted)


@contextlib.contextmanager
def open_engine(name: str, playwright: Any, *, hosted: bool = False) -> Iterator[Engine]:
    """Open an engine that nothing else uses, as `start_engine` does."""
    with start_engine(name, playwright, hosted=hosted) as opened, opened() as engine:
        yield engine


def _mini_browser() -> str:
    found = sorted(glob.glob("/usr/lib/*/webkit2gtk-4.*/MiniBrowser"))
    if not found:
        absent("WebKitGTK's MiniBrowser (Debian: webkit2gtk-driver)")
    return found[-1]


@contextlib.contextmanager
def _display() -> Iterator[dict[str, str]]:
    """Start a display that nobody sees, the size of a phone; yields the environment that uses it."""
    program = find_program("Xvfb")
    reading, writing = os.pipe()
    screen = "x".join(str(length) for length in (*PHONE, 24))
    command = [program, "-displayfd", str(writing), "-screen", "0", screen, "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=(writing,), stderr=subprocess.DEVNULL)
    try:
        os.close(writing)
        with os.fdopen(reading) as pipe:
            number = pipe.readline().strip()
        assert number, "Xvfb did not start"
        yield {**os.environ, "DISPLAY": f":{number}"}
    finally:
        server.terminate()
        server.wait(timeout=10)


def webkit_console(pages: list[pathlib.Path]) -> dict[str, str]:
    """Return what WebKit writes to its console while each page loads, by file name; silent pages left out."""
    browser = _mini_browser()
    said = {}
    with _display() as environment:
        for page in pages:
            # never with --private: a private MiniBrowser keeps its console to itself
            command = [browser, "--exit-after-load", "--enable-write-console-messages-to-stdout=true"]
            run = subprocess.run(
                [*command, page.as_uri()],
                env=environment,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                timeout=60,
                check=False,
            )
            if "CONSOLE" in run.stdout:
                said[page.name] = run.stdout
    return said
