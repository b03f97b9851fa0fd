"""Statements as an editor writes them, for every kind of car, in marks/*.yml and in statements.csv: the same limits."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from guide.facts.read import read_guide
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult, day_of
from tests.starting import change, started
from tests.told import ENGLISH

SPLITS = """
splits:
  hand: [right, left]
  market: [home, overseas]
  plant: [north, south]
"""
INTERIORS = """
red-cloth: {name: Red cloth, colour: red, material: cloth, share: rest, built: [{from: start, to: end}]}
black-hide: {name: Black hide, colour: black, material: hide, share: 1 in 5, built: [{from: start, to: end}]}
"""
TOURERS = """
name: Tourer
body: tourer
one counter: yes
written: "T###"
suffixes: {N: {plant: north}}
runs: [{cars: T001..T400, source: register}]
built by: {1960-12: T100, 1961-12: T200, 1962-12: T300, 1963-10-31: T400}
calendar source: register
"""
MARK = """
name: Roof lamp
question: What shape is the lamp in the roof?
look: Above the mirror, seen through the windscreen.
reach: glass
survives: most
order: [round, square]
forms:
  round: {{name: Round, answer: A round lamp, stated: [{round}]}}
  square: {{name: Square, answer: A square lamp, stated: [{square}]}}
"""
SCOPES = [
    ("series", "tourer"),
    ("interior", "black-hide"),
    ("hand", "left"),
    ("market", "overseas"),
    ("plant", "north"),
]


def limits_of(tmp_path: Path, table: str = "", square: str = "", ending: str = "") -> LimitsResult:
    """The limits of the guide that `start` makes, with splits, an interior and a series more, and these statements."""
    lamp = MARK.format(round=ending, square=square)
    files = {"interiors.yml": INTERIORS, "numbers/tourer.yml": TOURERS, "marks/roof-lamp.yml": lamp}
    content = started(tmp_path, {**files, "statements.csv": table} if table else files)
    change(content, "guide.yml", "made: 1200", "made: 1600")
    with (content / "guide.yml").open("a", encoding="utf-8") as guide_file:
        guide_file.write(SPLITS)
    reading = read_guide(content)
    assert [one.line(ENGLISH) for one in reading.findings] == []
    assert reading.guide is not None
    return derive_limits(reading.guide)


def lamps(result: LimitsResult) -> dict[tuple[tuple[str, tuple[str, ...]], ...], dict[str, list[str]]]:
    """For each kind of car the days of the four edges of each form of the roof lamp."""
    found: dict[tuple[tuple[str, tuple[str, ...]], ...], dict[str, list[str]]] = {}
    for spell in result.spells:
        if spell.mark == "roof-lamp":
            edges = (spell.first.earliest, spell.first.latest, spell.last.earliest, spell.last.latest)
            found.setdefault(spell.scope.parts, {})[spell.form] = [
                day_of(edge, date(1960, 3, 1)).isoformat() for edge in edges
            ]
    return found


@pytest.mark.parametrize(("dimension", "value"), SCOPES)
@pytest.mark.parametrize("way", ["yaml", "csv"])
def test_a_statement_speaks_for_the_cars_it_names_and_for_no_others(
    tmp_path: Path, dimension: str, value: str, way: str
) -> None:
    if way == "yaml":
        result = limits_of(tmp_path, square=f"{{first: 1961-06, source: parts-list, for: {{{dimension}: {value}}}}}")
    else:
        result = limits_of(
            tmp_path, f"mark,form,kind,when,source,{dimension}\nroof-lamp,square,first,1961-06,parts-list,{value}\n"
        )
    assert result.findings == ()
    found = lamps(result)
    assert len(found) == 2
    for parts, forms in found.items():
        first = forms["square"][:2]
        assert first == (
            ["1961-06-01", "1961-06-30"] if dict(parts)[dimension] == (value,) else ["1960-03-01", "1963-10-31"]
        )


@pytest.mark.parametrize(("dimension", "value"), [("hand", "left"), ("market", "overseas"), ("interior", "black-hide")])
def test_a_car_seen_speaks_for_the_kind_that_is_named_with_it(tmp_path: Path, dimension: str, value: str) -> None:
    seen = f"{{seen: T150, source: register, for: {{{dimension}: {value}}}}}"
    found = lamps(limits_of(tmp_path, square=seen))
    said = {dict(parts)[dimension]: forms["square"][1] for parts, forms in found.items()}
    assert said[(value,)] == "1961-12-31"
    assert {day for kind, day in said.items() if kind != (value,)} == {"1963-10-31"}


def test_a_suffix_tells_the_plant_of_a_car_seen(tmp_path: Path) -> None:
    whole = "{first: 1962, source: parts-list, for: {plant: south}}, {seen: T150N, source: register}"
    found = lamps(limits_of(tmp_path, square=whole))
    assert {dict(parts)["plant"]: forms["square"][1] for parts, forms in found.items()} == {
        ("north",): "1961-12-31",
        ("south",): "1962-12-31",
    }


KINDS = {
    "first": ("{first: S300, source: parts-list}", "square,first,S300,,parts-list,,,,"),
    "last": ("{last: S598, source: parts-list}", "round,last,S598,,parts-list,,,,"),
    "seen": ("{seen: S612, source: register}", "square,seen,S612,,register,,,,"),
    "before": ("{before: door-handle/lever, source: parts-list}", "square,before,,door-handle/lever,parts-list,,,,"),
    "after": ("{after: door-handle/knob, source: parts-list}", "square,after,,door-handle/knob,parts-list,,,,"),
    "together with": (
        "{together with: door-handle/lever, source: parts-list}",
        "square,together with,,door-handle/lever,parts-list,,,,",
    ),
    "so many cars after": (
        "{first: about 200 cars after S300, source: parts-list}",
        "square,first,about 200 cars after S300,,parts-list,,,,",
    ),
    "old stock": (
        "{last: S598, old stock: at most 60 cars, source: parts-list}",
        "round,last,S598,,parts-list,at most 60 cars,,,",
    ),
    "the last ever": ("{last: S598, the last ever: yes, source: parts-list}", "round,last,S598,,parts-list,,yes,,"),
    "share and printed": (
        "{first: S300, share: 1 in 4, printed: S3000, source: parts-list}",
        "square,first,S300,,parts-list,,,1 in 4,S3000",
    ),
}
HEAD = "mark,form,kind,when,other,source,old stock,the last ever,share,printed\n"


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_statement_gives_the_same_limits_from_yaml_and_from_csv(tmp_path: Path, kind: str) -> None:
    written, line = KINDS[kind]
    form = "ending" if line.startswith("round") else "square"
    by_yaml = limits_of(tmp_path / "yaml", **{form: written})
    by_csv = limits_of(tmp_path / "csv", f"{HEAD}roof-lamp,{line}\n")
    assert lamps(by_yaml) == lamps(by_csv)
    assert lamps(by_yaml) != lamps(limits_of(tmp_path / "none"))
    assert [one.code for one in by_yaml.findings] == [one.code for one in by_csv.findings] == []


def test_a_change_closes_one_form_and_opens_the_next_from_yaml_and_from_csv(tmp_path: Path) -> None:
    content = MARK + "changes: [{{from: round, to: square, at: S300, source: parts-list}}]\n"
    by_csv = limits_of(
        tmp_path / "csv", "mark,form,kind,when,other,source\nroof-lamp,round,changes,S300,square,parts-list\n"
    )
    folder = tmp_path / "yaml"
    limits_of(folder)
    (folder / "content/marks/roof-lamp.yml").write_text(content.format(round="", square=""), encoding="utf-8")
    reading = read_guide(folder / "content")
    assert reading.findings == ()
    assert reading.guide is not None
    assert lamps(derive_limits(reading.guide)) == lamps(by_csv)
    ends = next(forms for parts, forms in lamps(by_csv).items() if dict(parts)["series"] == ("saloon",))
    assert (ends["round"][2:], ends["square"][:2]) == (["1961-01-01", "1961-12-31"],) * 2
