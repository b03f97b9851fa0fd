"""A field that is read and shown nowhere is of no use to anybody: while guides are made, each one is asked for.

Watched from the moment when the facts have been read: by limits, dating, checks, pages or templates, not by what
Python itself does with a record (comparing, hashing, copying), nor by the digest of all that is read
(`guide.facts.bones`). The guides are the demo, and the small guide with what the demo has no use for.
"""

from __future__ import annotations

import dataclasses
import pathlib
import shutil
import sys
from collections.abc import Callable
from typing import Any

import pytest

from guide.command import work
from guide.facts import types
from guide.facts.read import GuideRead, read_guide
from guide.press.theme import open_theme
from tests.conftest import CONTENT

SMALL = pathlib.Path(__file__).parent / "small"
KINDS: list[Any] = [one for name in types.__all__ if dataclasses.is_dataclass(one := getattr(types, name))]
WHERE_IT_STANDS = {f"{kind.__name__}.place" for kind in KINDS if "place" in {f.name for f in dataclasses.fields(kind)}}
WHERE_IT_STANDS.add("Spell.stated_at")
UNSHOWN = {
    "EndRuling.set_aside": "finds, while reading, the end that it names, which keeps the ruling",
    "CarNumber.text": "as it was typed: what is found wrong while reading says it back",
    "KeptEdition.guide": "names the guide in the feed of one with an address: tests/published/test_feed.py",
    "Series.one_counter": "settles, while reading, which runs overlap and whether a range may change its prefix",
}


def watched(kind: Any, seen: set[str]) -> Callable[[Any, str], Any]:
    """Return how a record gives its fields while what is asked for is written down."""
    fields = {field.name for field in dataclasses.fields(kind)}

    def give(record: Any, name: str) -> Any:
        if name in fields:
            asker = sys._getframe(1).f_code.co_filename
            if asker != "<string>" and not asker.endswith(("dataclasses.py", "bones.py")):
                seen.add(f"{kind.__name__}.{name}")
        return object.__getattribute__(record, name)

    return give


def make(content: pathlib.Path, seen: set[str]) -> None:
    """Make a guide from its facts to its pages, and note which fields are asked for once they have been read."""

    def read(folder: pathlib.Path, *more: Any) -> GuideRead:
        reading = read_guide(folder, *more)
        for kind in KINDS:
            patch.setattr(kind, "__getattribute__", watched(kind, seen), raising=False)
        return reading

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(work, "read_guide", read)
        patch.setattr("guide.press.make.can_help", lambda _pieces: False)  # what another process asks is not seen here
        worked, site = work.make_guide(content, open_theme(), stop_on="errors")
        assert site, worked.findings


def with_the_rest(content: pathlib.Path) -> pathlib.Path:
    """Lay the small guide out with an open run, a dated car, model years, and one form stated beside another."""
    shutil.copytree(SMALL, content)
    numbers = content / "numbers" / "coupe.yml"
    text = numbers.read_text(encoding="utf-8").replace(
        "{cars: C1001..C2900, source: ledger}",
        "{from: C1001, to: [{car: C2900, source: ledger}, {car: C2890}]}\n  - {from: C2901, known to: C2950}",
    )
    text += "dated cars:\n  - {car: C1900, built: 1968-06-20, source: ledger}\n"
    text += "model years:\n  - {year: 1968, cars: C1400..C2300, source: ledger}\n"
    text += "  - {year: 1969, from: 1968-09, to: 1969-08}\n"
    numbers.write_text(text, encoding="utf-8")
    guide = content / "guide.yml"
    rivals = "last: [{day: 1972-10-20, source: ledger}, {day: 1972-11-03, source: bulletin-7, page: 3, printed: 3.11.}]"
    rivals += ", ruling: {set aside: bulletin-7 last 1972-11-03, why: no such car is known, on: 2026-11-25, by: editor}"
    text = guide.read_text(encoding="utf-8").replace("last: 1972-10-20", rivals)
    guide.write_text(f"{text}address: https://example.org/tern/\n", encoding="utf-8")
    mark = content / "marks" / "switches.yml"
    text = mark.read_text(encoding="utf-8")
    (content / "pictures").mkdir()
    drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9"/></svg>'
    (content / "pictures" / "switches-toggle.svg").write_text(drawing, encoding="utf-8")
    shown = "{file: switches-toggle.svg, describes: A, caption: B, credit: C, licence: CC0-1.0, year: 1970}"
    text = text.replace("forms:\n", f"pictures: [{shown}]\nforms:\n")
    mark.write_text(
        text + "      - {after: toggle, source: ledger}\n      - {first: model year 1968}\n", encoding="utf-8"
    )
    return content


def test_every_field_of_every_record_is_used_after_reading(tmp_path: pathlib.Path) -> None:
    seen: set[str] = set()
    make(CONTENT, seen)
    make(with_the_rest(tmp_path / "content"), seen)
    there = {f"{kind.__name__}.{field.name}" for kind in KINDS for field in dataclasses.fields(kind)}
    assert len(there) > 200
    assert sorted(there - seen - WHERE_IT_STANDS - set(UNSHOWN)) == []
    assert sorted(set(UNSHOWN) & seen) == []
