"""What is sent of a car: everything that keeps it honest, and a line, or an address, that leads back to the same."""

from __future__ import annotations

from typing import Any

import pytest

from guide.words.say import load_words
from tests.pages.scripts import evaluate
from tests.pages.test_path import KEY

HOSTED = "https://guide.example/tern/key.html?light=sun#x"
TEXT = """(() => {
  globalThis.window = { location: { protocol: new URL(given.at).protocol, href: given.at } };
  globalThis.document = { querySelector: () => ({ dataset: { fingerprint: "0a1b2c3d" } }) };
  const key = { title: "Tern interiors", links: { key: "key.html" } };
  guide.model = { edition: "2026 autumn", marks: [] };
  const state = guide.path.readHash(given.hash, given.key);
  const text = guide.sending.text(guide.words(given.words), key, { state, car: "C1912",
    sentences: ["Very probably built in June 1968.", "", "What was seen does not fit the number C1912."],
    seen: ["Small switches: rockers", "Tail lamps: can't tell"] }, given.number);
  return [text, guide.path.readLine(given.dress.replace("TEXT", text.replace(/\\n/g, given.before)), given.key)];
})()"""


def sent(node: str, at: str, *, number: bool, before: str = "\n", dress: str = "TEXT") -> tuple[str, Any]:
    words = dict(load_words("en").templates)
    hash_ = "#switches=rocker&tail-lamps=cannot-tell&--car=C1912&--known=registered=1968-07"
    given = {"at": at, "hash": hash_, "key": KEY, "words": words, "number": number, "before": before, "dress": dress}
    text, state = evaluate(node, "sending", TEXT, given)
    return str(text), state


def test_what_is_sent_carries_what_keeps_it_honest(node: str) -> None:
    lines = sent(node, HOSTED, number=True)[0].splitlines()
    assert lines[:3] == ["C1912", "Very probably built in June 1968.", "What was seen does not fit the number C1912."]
    assert lines[3] == "What was seen: Small switches: rockers; Tail lamps: can't tell."
    assert lines[4] == "What was known beforehand: First registered: in July 1968."
    assert lines[5].startswith("This is what can be seen, not a certificate")
    assert lines[6] == "From Tern interiors. Edition: 2026 autumn (0a1b2c3d)."
    assert lines[7].startswith("In the guide: https://guide.example/tern/key.html#switches=rocker&")
    assert lines[-1].startswith("switches=rocker tail-lamps=cannot-tell --car")


def test_without_its_number_nothing_in_the_message_tells_it(node: str) -> None:
    text, state = sent(node, HOSTED, number=False)
    assert "1912" not in text
    assert state["car"] is None


def test_the_address_of_a_disk_is_sent_to_nobody(node: str) -> None:
    text, _ = sent(node, "file:///home/jo/stick/key.html", number=True)
    assert "stick" not in text
    assert "In the guide:" not in text


@pytest.mark.parametrize("at", [HOSTED, "file:///stick/key.html"])
@pytest.mark.parametrize(("before", "dress"), [("\n", "TEXT"), ("\n> ", "Hello!\n> TEXT\nBye"), ("\r\n | ", "| TEXT")])
def test_what_was_sent_is_read_back_however_it_comes(node: str, at: str, before: str, dress: str) -> None:
    _, state = sent(node, at, number=True, before=before, dress=dress)
    assert [(one["mark"], one["forms"], one["kind"]) for one in state["answers"]] == [
        ("switches", ["rocker"], "form"),
        ("tail-lamps", [], "cannot-tell"),
    ]
    assert (state["car"], state["known"]) == ("C1912", {"registered": "1968-07"})
