"""The facts for others: read back as they were, whole, and with nothing that the guide hides."""

from __future__ import annotations

import dataclasses
import json
import pathlib
import re
from typing import Any

import pytest

from guide.command.start import STARTER
from guide.command.work import work_out
from guide.facts.read import read_guide
from guide.facts.text.csv_tables import write_csv
from guide.facts.types import Guide, Statement
from guide.limits.edges import limits_json
from guide.pages.parts.open_data import bibliography, facts_data, limits_data, statement_rows
from guide.pages.shelf import Shelf
from guide.press.make import make_shelf
from tests.conftest import ROOT
from tests.starting import started

SAID = """name: Roof lamp
question: What shape is the lamp in the roof?
reach: glass
survives: most
forms:
  round:
    name: Round
    answer: A round lamp
    stated:
      - {last: S598, the last ever: yes, old stock: 3 cars, source: parts-list, page: 4, printed: "589",
         for: {interior: red-cloth}}
      - {seen: S571, source: register, note: "Blue, with a \\"hood\\"."}
  square:
    name: Square
    answer: A square lamp
    stated:
      - {first: about January 1962, share: 40 %, source: parts-list}
      - {after: round, source: register}
changes:
  - {from: round, to: square, at: S601, source: register, page: 9}
"""


def shelf_in(content: pathlib.Path) -> Shelf:
    worked = work_out(content)
    assert worked.guide is not None
    assert worked.limits is not None
    assert worked.key is not None
    return make_shelf(worked.guide, worked.limits, worked.key, None, {}, {})


def plain(guide: Guide) -> list[dict[str, Any]]:
    """Return what the statements of a guide say, wherever they stand, in an order of its own."""

    def bare(one: Statement) -> dict[str, Any]:
        value = dataclasses.asdict(one)
        value.pop("place")
        if value["when"]:
            value["when"].pop("place")
            value["when"]["text"] = str(value["when"]["text"])
            (value["when"]["car"] or {}).pop("place", None)
        return value

    return sorted((bare(one) for mark in guide.marks.values() for one in mark.statements), key=str)


def test_the_sheet_of_statements_reads_back(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path / "one", {"marks/roof-lamp.yml": SAID})
    shelf = shelf_in(content)
    rows = list(statement_rows(shelf))
    assert len(rows) == len(plain(shelf.guide)) == 8, "the head, and a change is one row of two statements"
    without = "\n".join(
        line
        for line in SAID.partition("changes:")[0].splitlines()
        if not line.startswith(("      -", "         for")) and "stated:" not in line
    )
    handle = (content / "marks" / "door-handle.yml").read_text(encoding="utf-8").splitlines()
    bare = "\n".join(
        line for line in handle if not line.startswith(("      -", "         for")) and "stated:" not in line
    )
    again = started(tmp_path / "two", {"marks/roof-lamp.yml": without + "\n", "marks/door-handle.yml": bare + "\n"})
    (again / "statements.csv").write_bytes(write_csv(rows))
    reading = read_guide(again)
    assert reading.findings == ()
    assert reading.guide is not None
    assert plain(reading.guide) == plain(shelf.guide)


def test_facts_and_limits_say_what_the_guide_says(tmp_path: pathlib.Path) -> None:
    shelf = shelf_in(started(tmp_path, {"marks/roof-lamp.yml": SAID}))
    facts = json.loads(facts_data(shelf))
    assert (facts["format"], facts["edition"], facts["car"]) == (1, "first", "Example car")
    lamp = next(mark for mark in facts["marks"] if mark["id"] == "roof-lamp")
    first = lamp["statements"][0]
    assert (first["kind"], first["when"], first["standing"]) == ("last", "S598", "stands")
    named = {one["source"] for mark in facts["marks"] for one in mark["statements"]}
    assert named <= {one["id"] for one in facts["sources"]}
    limits = json.loads(limits_data(shelf))
    whole = limits_json(shelf.limits, shelf.words)
    assert [(one["mark"], one["form"], one["first"]["earliest"]["date"]) for one in limits["limits"]] == [
        (one["mark"], one["form"], one["first"]["earliest"]["date"]) for one in whole
    ]
    assert "marks/roof-lamp.yml" not in json.dumps(limits), "an editor's files are nobody's business"


def test_sources_are_told_as_programs_for_references_read_them(tmp_path: pathlib.Path) -> None:
    """Citation Style Language 1.0.2, CSL-JSON: id and type are needed; a date is a list of parts."""
    cited = json.loads(bibliography(shelf_in(started(tmp_path, {}))))
    assert cited == [
        {"id": "register", "type": "document", "title": "Club register", "genre": "register"},
        {
            "id": "parts-list",
            "type": "document",
            "title": "Parts list",
            "genre": "parts list",
            "issued": {"date-parts": [[1962]]},
        },
    ]


def _keys(value: Any) -> set[str]:
    """Return the keys of a record and of those within it; ids are no keys, nor are the splits of a scope."""
    if isinstance(value, list):
        return set().union(*map(_keys, value))
    if not isinstance(value, dict):
        return set()
    return {
        *value,
        *set().union(*(_keys(one) for key, one in value.items() if key not in ("for", "scope", "superseded"))),
    }


@pytest.mark.parametrize("page", ["for-editors.md", "for-editors.de.md"])
def test_every_key_of_what_other_programs_get_stands_in_the_handbook(shelf: Shelf, page: str) -> None:
    text = (ROOT / "guide/handbook" / page).read_text(encoding="utf-8")
    got = text[text.index("`facts.json`:") : text.index("# yaml-language-server")]
    keys = _keys(json.loads(facts_data(shelf))) | _keys(json.loads(limits_data(shelf)))
    assert {"when_says", "scope_says", "adds_days", "told_by"} <= keys
    assert keys - {"format"} - set(re.findall(r"`(\w+)`", got)) == set()


@pytest.mark.parametrize(
    ("dated", "parts"),
    [
        ("1967-10-03", [[1967, 10, 3]]),
        ("1967-10", [[1967, 10]]),
        ("1967", [[1967]]),
        ("spring 1968", [[1968, 3], [1968, 5]]),
        ("1967-10/1968-02", [[1967, 10], [1968, 2]]),
        ("1967/1969", [[1967], [1969]]),
        ("by June 1968", [[1968]]),
    ],
)
def test_a_source_s_date_is_told_as_closely_as_it_is_known(
    tmp_path: pathlib.Path, dated: str, parts: list[list[int]]
) -> None:
    sources = (STARTER / "sources.yml").read_text(encoding="utf-8").replace("dated: 1962", f"dated: {dated}")
    (*_, cited) = json.loads(bibliography(shelf_in(started(tmp_path, {"sources.yml": sources}))))
    assert cited["issued"] == {"date-parts": parts}


def test_a_number_that_is_hidden_is_hidden_here_too(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {})
    guide = content / "guide.yml"
    guide.write_text(guide.read_text(encoding="utf-8") + "mask seen statements: yes\n", encoding="utf-8")
    shelf = shelf_in(content)
    sheet = write_csv(statement_rows(shelf)).decode()
    for number in ("S571", "S612"):
        assert number not in sheet
        assert number not in facts_data(shelf).decode()
        assert number not in limits_data(shelf).decode()
    assert "S598" in sheet
