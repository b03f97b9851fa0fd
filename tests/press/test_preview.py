"""The preview: follows every save, shows what is wrong with a broken one, and comes back."""

from __future__ import annotations

import contextlib
import os
import pathlib
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from guide.finding import Finding, Place
from guide.press.preview import snapshot, with_reload
from guide.press.told_findings import findings_page
from tests.press.often import OFTEN
from tests.told import ENGLISH

ROOT = pathlib.Path(__file__).resolve().parents[2]
# A site of one page made from one file; a file that says "broken" cannot be built.
PROGRAM = f"""
{OFTEN}
import pathlib, signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)  # a run in the background hands it on switched off
sys.path.insert(0, {str(ROOT)!r})
from guide.finding import Finding, Place
from guide.command.unforeseen import unforeseen
from guide.press.preview import serve_preview
from guide.words.say import load_words
folder = pathlib.Path(sys.argv[1])

def build():
    text = (folder / "words.txt").read_text(encoding="utf-8")
    if "unforeseen" in text:
        raise ZeroDivisionError("by nought")
    if "broken" in text:
        finding = Finding.of("press.cannot-write", Place("words.txt", 3, 7), why="<broken>", out="out")
        return None, (finding,)
    head = "<!doctype html><html lang='en'><head><title>x</title></head>"
    page = head + "<body><p>" + text + "</p></body></html>"
    return Site({{"index.html": page.encode(), "marks/a.html": page.encode()}}), ()

class Site(dict):
    def concerned(self, finding):
        return {{"marks/a.html": ""}}

    def get(self, name):
        if name.startswith("data/"):
            raise IndexError(name)
        return super().get(name)

def out():
    return b"<html lang='en'><head></head><body>Out: " + (folder / "words.txt").read_bytes() + b"</body></html>"

def show(said):
    print(said if isinstance(said, str) else said.printed(load_words()), flush=True)

port = int(sys.argv[2])
spoken = {{"spoken": load_words, "net": unforeseen, "own": {{"disclosed.html": out}}, "show": show}}
serve_preview(build, (folder,), port=port, open_browser=False, **spoken)
"""


class Running:
    """A preview in a process of its own."""

    def __init__(self, folder: pathlib.Path, port: int) -> None:
        self.folder, self.port = folder, port
        self.start()

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(self.folder), str(self.port)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        while "http://" not in line:
            assert line, "the preview did not start"
            line = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", line)
        assert found is not None
        self.address = found[0]

    def stop(self) -> None:
        self.process.send_signal(signal.SIGINT)
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()

    def read(self, name: str = "") -> str:
        with urllib.request.urlopen(self.address + name, timeout=30) as answer:
            assert answer.headers["Cache-Control"] == "no-store"
            return str(answer.read().decode())

    def answer(self, name: str = "", **headers: str) -> tuple[int, str]:
        """Ask as some browser would; return the status and the text."""
        asked = urllib.request.Request(
            self.address + name, headers={k.replace("_", "-"): v for k, v in headers.items()}
        )
        try:
            with urllib.request.urlopen(asked, timeout=30) as answer:
                return int(answer.status), str(answer.read().decode())
        except urllib.error.HTTPError as error:
            return error.code, str(error.read().decode())

    def wait_for(self, words: str, name: str = "") -> str:
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            text = self.read(name)
            if words in text:
                return text
            time.sleep(0.1)
        raise AssertionError(f"{words!r} never came; the page says {text}")

    def save_by_renaming(self, text: str) -> None:
        """Save as many editors do: a new file under another name, then renamed over the old one."""
        new = self.folder / "words.txt~"
        new.write_text(text, encoding="utf-8")
        os.replace(new, self.folder / "words.txt")


@contextlib.contextmanager
def running_in(folder: pathlib.Path, port: int = 5600) -> Iterator[Running]:
    (folder / "words.txt").write_text("first", encoding="utf-8")
    running = Running(folder, port)
    try:
        yield running
    finally:
        running.stop()


@pytest.fixture
def preview(tmp_path: pathlib.Path) -> Iterator[Running]:
    with running_in(tmp_path) as running:
        yield running


@pytest.fixture(scope="module")
def only_asked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """A preview in which nothing is saved."""
    with running_in(tmp_path_factory.mktemp("asked")) as running:
        yield running


def test_a_save_by_renaming_is_seen_even_with_an_older_time(preview: Running) -> None:
    preview.wait_for("first")
    old = preview.folder / "older.txt"
    old.write_text("second", encoding="utf-8")
    os.utime(old, (1_000_000_000, 1_000_000_000))
    os.replace(old, preview.folder / "words.txt")
    preview.wait_for("second")


def test_what_goes_out_is_listed_and_follows_a_save(preview: Running) -> None:
    assert "Out: " in preview.wait_for("first", "disclosed.html")
    before = preview.read("preview-digest?page=/disclosed.html")
    assert f'data-preview="{before}"' in preview.read("disclosed.html")
    preview.save_by_renaming("second")
    preview.wait_for("second", "disclosed.html")
    assert preview.read("preview-digest?page=/disclosed.html") != before


def test_a_broken_save_shows_its_findings_everywhere_and_the_next_good_one_recovers(preview: Running) -> None:
    preview.save_by_renaming("broken")
    for name in ("", "marks/a.html", "no-such-page.html"):
        text = preview.wait_for("words.txt:3:7", name)
        assert "found: &lt;broken&gt;" in text
        assert "put right (cannot-write): look at the folder named" in text
    preview.save_by_renaming("mended")
    preview.wait_for("mended", "marks/a.html")


def test_what_nobody_foresaw_is_shown_with_what_to_send_and_the_next_good_save_recovers(preview: Running) -> None:
    preview.save_by_renaming("unforeseen")
    text = preview.wait_for("ZeroDivisionError: by nought")
    assert "put right (unforeseen): undo what you changed last, and send these lines" in text
    preview.save_by_renaming("mended")
    preview.wait_for("mended")
    status, text = preview.answer("data/model.js")
    assert (status, "IndexError: data/model.js" in text) == (500, True)
    assert "IndexError: data/model.js" in preview.read(), "the page that lacks the file tells as well"
    assert "Traceback" not in text
    preview.save_by_renaming("mended again")
    preview.wait_for("mended again")


def test_the_preview_answers_to_its_own_name_and_to_no_other_site(only_asked: Running) -> None:
    port = only_asked.address.rstrip("/").rsplit(":")[-1]
    own = f"127.0.0.1:{port}"
    assert [only_asked.answer(Host=host)[0] for host in (own, f"localhost:{port}", f"LOCALHOST:{port}")] == [200] * 3
    for host in ("tern.example", f"tern.example:{port}", "127.0.0.1:1", "", f"{own}.tern.example"):
        assert only_asked.answer(Host=host)[0] == 421, host
    for name in ("", "marks/a.html", "livereload.js", "preview-digest", "livereload"):
        assert only_asked.answer(name, Host=f"tern.example:{port}")[0] == 421, name
        assert only_asked.answer(name, Origin="http://tern.example")[0] == 421, name
    elsewhere = {"Sec_Fetch_Site": "cross-site", "Sec_Fetch_Mode": "no-cors", "Sec_Fetch_Dest": "script"}
    assert only_asked.answer(**elsewhere)[0] == 421
    assert only_asked.answer(**{**elsewhere, "Sec_Fetch_Site": "same-site"})[0] == 421
    assert only_asked.answer(**{**elsewhere, "Sec_Fetch_Mode": "navigate", "Sec_Fetch_Dest": "iframe"})[0] == 421
    link = {**elsewhere, "Sec_Fetch_Mode": "navigate", "Sec_Fetch_Dest": "document"}
    assert only_asked.answer(**link)[0] == 200, "a link in a letter may lead here"


@pytest.mark.parametrize(("origin", "status"), [("http://{own}", 101), ("http://tern.example", 421), ("null", 421)])
def test_a_page_of_the_preview_alone_may_open_its_websocket(only_asked: Running, origin: str, status: int) -> None:
    own = only_asked.address.split("/")[2]
    lines = [
        "GET /livereload HTTP/1.1",
        f"Host: {own}",
        "Connection: Upgrade",
        "Upgrade: websocket",
        "Sec-WebSocket-Version: 13",
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",  # RFC 6455, 1.3
        f"Origin: {origin.format(own=own)}",
    ]
    with socket.create_connection(("127.0.0.1", int(own.split(":")[1])), timeout=30) as line:
        line.sendall(("\r\n".join(lines) + "\r\n\r\n").encode())
        assert line.recv(100).decode().startswith(f"HTTP/1.1 {status} ")


def test_a_port_that_is_taken_is_passed_over(tmp_path: pathlib.Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with running_in(tmp_path, port) as running:
            assert running.address != f"http://127.0.0.1:{port}/"
            running.wait_for("first")


@pytest.mark.browser
def test_the_open_page_follows_a_save_a_second_one_soon_after_and_a_restart(preview: Running, chromium: Any) -> None:
    page = chromium.new_context().new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))

    def wait_shown(words: str) -> None:
        page.wait_for_function("(words) => document.body.innerText.includes(words)", arg=words, timeout=60_000)

    page.goto(preview.address + "marks/a.html")
    wait_shown("first")
    preview.save_by_renaming("second")
    wait_shown("second")
    preview.save_by_renaming("third")
    wait_shown("third")
    preview.save_by_renaming("broken")
    wait_shown("This is the last good edition")
    wait_shown("third")
    preview.save_by_renaming("mended")
    wait_shown("mended")
    preview.stop()
    preview.save_by_renaming("changed while nobody looked")
    preview.port = int(preview.address.rsplit(":", 1)[1].rstrip("/"))
    preview.start()
    wait_shown("changed while nobody looked")
    assert faults == []
    page.context.close()


def test_a_page_may_talk_to_its_own_preview_only() -> None:
    page = b"<html lang='en'><head><meta content=\"connect-src 'self'; x\"></head></html>"
    text = with_reload(page, "abc", 5500).decode()
    assert "connect-src 'self' ws://127.0.0.1:5500 ws://localhost:5500;" in text
    assert 'data-preview="abc"' in text
    assert text.count("<script src=") == 2


def test_the_findings_page_shows_text_as_text() -> None:
    finding = replace(Finding.of("facts.column-not-read", Place("a.yml", 2, 1), column="<script>"), excerpt="<b>x</b>")
    text = findings_page((finding,), ENGLISH).decode()
    assert "<script>" not in text
    assert "&lt;b&gt;x&lt;/b&gt;" in text
    assert "default-src 'none'; style-src 'sha256-" in text


def test_a_snapshot_leaves_out_what_nobody_edits(tmp_path: pathlib.Path) -> None:
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "index").write_text("x")
    (tmp_path / "a.yml").write_text("x")
    assert [pathlib.Path(name).name for name in snapshot([tmp_path])] == ["a.yml"]
