"""The guide opened from a stick, in three engines: one walk, and the harness that takes it."""

from __future__ import annotations

import pathlib
import time
from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser.engines import ENGINES, PHONE, Engine, open_engine, until, webkit_console

pytestmark = pytest.mark.browser


@pytest.fixture(params=list(ENGINES))
def engine(request: pytest.FixtureRequest, playwright: Any) -> Iterator[Engine]:
    """Each engine in turn."""
    with open_engine(request.param, playwright) as opened:
        yield opened


GOOD = """<!doctype html><title>good</title><input id="a"><button id="b">b</button>
<a id="on" href="bad.html">on</a>
<script>
document.getElementById("b").onclick = () => { document.title = document.getElementById("a").value; };
</script>"""
BAD = """<!doctype html><title>bad</title><button id="b">b</button><button id="c">c</button>
<script>
document.getElementById("b").onclick = () => { console.error("planted word"); planted.error(); };
document.getElementById("c").onclick = () => { new Image().src = "http://outside.example/planted.png"; };
</script>"""


def test_the_harness_presses_types_and_notices_what_is_wrong(engine: Engine, tmp_path: pathlib.Path) -> None:
    (tmp_path / "good.html").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.html").write_text(BAD, encoding="utf-8")
    engine.open((tmp_path / "good.html").as_uri())
    assert engine.ask("[innerWidth, innerHeight]") == list(PHONE)
    engine.fill("#a", "typed")
    engine.press("#b")
    assert until(engine, "document.title === 'typed' && document.title") == "typed"
    engine.reload()
    until(engine, "document.title === 'good'")
    assert engine.faults() == []
    engine.press("#on")
    until(engine, "document.title === 'bad'")
    engine.press("#b")
    engine.press("#c")
    deadline = time.monotonic() + 10
    while not any(fault.startswith("outside:") for fault in engine.faults()) and time.monotonic() < deadline:
        time.sleep(0.1)
    said = engine.faults()
    for kind, words in (("console", "planted word"), ("error", ""), ("outside", "outside.example")):
        assert any(fault.startswith(f"{kind}:") and words in fault for fault in said), (kind, said)
    with pytest.raises(AssertionError, match="never came to"):
        _impatient(engine)


def _impatient(engine: Engine) -> None:
    from tests.browser import engines

    patience, engines._PATIENCE_SECONDS = engines._PATIENCE_SECONDS, 0.1
    try:
        until(engine, "document.title === 'never'")
    finally:
        engines._PATIENCE_SECONDS = patience


def test_the_console_of_webkit_is_heard_while_a_page_loads(tmp_path: pathlib.Path) -> None:
    good, bad = tmp_path / "good.html", tmp_path / "bad.html"
    good.write_text(GOOD, encoding="utf-8")
    bad.write_text("<!doctype html><title>bad</title><script>planted.error();</script>", encoding="utf-8")
    said = webkit_console([bad, good])
    assert list(said) == ["bad.html"]
    assert "planted" in said["bad.html"]
