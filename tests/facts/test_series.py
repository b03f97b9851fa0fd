"""Number series like real ones: several prefixes, one counter, open ends, gaps, model years, calendars."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from guide.facts.read import read_guide
from guide.facts.records.series import read_series
from guide.facts.text.desk import Desk
from guide.facts.text.source import compose
from guide.facts.types import CalendarKind, CarNumber, NumberFailure, Series
from guide.facts.when.numbers import number_table, read_number, write_number
from tests.told import ENGLISH, told

SMALL = Path(__file__).parent / "small"


def series_of(text: str) -> Series:
    node, troubles = compose(text, "numbers/saloon.yml")
    assert troubles == []
    assert node is not None
    desk = Desk()
    read = read_series("saloon", node, desk)
    assert [finding.printed(ENGLISH) for finding in desk.findings] == []
    assert read is not None
    return read


HEAD = "name: Saloon\nbody: saloon\n"


def read(series: Series, text: str) -> str:
    number = read_number(text, number_table({series.id: series}))
    return number.written if isinstance(number, CarNumber) else f"({number})"


def test_one_counter_runs_through_several_prefixes() -> None:
    series = series_of(
        HEAD + 'written: ["AB-C ####", "AB-E ####"]\none counter: yes\nruns:\n'
        "  - {cars: ABC0001..ABC0400}\n  - {cars: ABC0401..ABE0900}\n  - {cars: ABE0901..ABE1200}\n"
    )
    assert [(run.prefix, run.first, run.last) for run in series.runs] == [
        ("ABC", 1, 400),
        ("", 401, 900),
        ("ABE", 901, 1200),
    ]
    assert [read(series, text) for text in ("abc 278", "ab-c 0278", "ABE0278", "ABE0500", "ABC0500", "ABC1000")] == [
        "(short)",
        "AB-C 0278",
        "(not-in-tables)",
        "AB-E 0500",
        "AB-C 0500",
        "(not-in-tables)",
    ]


def test_prefixes_with_counters_of_their_own_follow_one_another_as_declared() -> None:
    series = series_of(
        HEAD + 'written: ["Z###", "A###"]\nruns:\n  - {cars: Z001..Z300}\n  - {cars: A001..A200}\n'
        "built by: {1968-05: Z300, 1968-06: A010}\n"
    )
    assert [(run.prefix, run.first) for run in series.runs] == [("Z", 1), ("A", 1)]
    assert [read(series, text) for text in ("Z250", "A150", "A250")] == ["Z250", "A150", "(not-in-tables)"]


def test_beyond_the_last_number_named_in_a_run_without_end_nothing_is_in_the_tables() -> None:
    series = series_of(HEAD + 'written: "S####"\nruns: [{cars: S0001..}]\nbuilt by: {1968-05: S0412, 1968-06: S0731}\n')
    assert series.runs[0].last is None
    assert [read(series, text) for text in ("S0731", "S0732", "S0000")] == [
        "S0731",
        "(beyond-known)",
        "(not-in-tables)",
    ]


def test_a_number_in_a_declared_gap_was_never_built() -> None:
    series = series_of(
        HEAD + 'written: "S####"\nruns:\n  - {cars: S0001..S0100}\n  - {cars: S0101, built: never}\n'
        "  - {cars: S0102..S0200, dated: spring 1968}\n"
    )
    assert [(run.first, run.last, run.built, run.dated is not None) for run in series.runs] == [
        (1, 100, True, False),
        (101, 101, False, False),
        (102, 200, True, True),
    ]
    assert read_number("S0101", number_table({"saloon": series})) is NumberFailure.NEVER_BUILT


def test_model_years_are_kept_apart_from_dates_of_build() -> None:
    series = series_of(
        HEAD + 'written: "S####"\nruns: [{cars: S0001..S0900}]\n'
        "model years:\n  - {year: 1968, cars: S0001..S0400}\n  - {year: 1969, cars: S0401..}\n"
    )
    assert [(row.year, row.first and row.first.number, row.last and row.last.number) for row in series.model_years] == [
        ("1968", 1, 400),
        ("1969", 401, None),
    ]
    assert series.calendar == ()


def test_a_calendar_keeps_both_of_its_ways_of_speaking() -> None:
    series = series_of(
        HEAD + 'written: "S####"\nruns: [{cars: S0001..S0900}]\n'
        "built by: {1968-05: S0100}\nfirst built: {1968-05-02: S0001, 1968-06: S0101}\n"
    )
    assert [(entry.kind, entry.time.text, entry.car.number) for entry in series.calendar] == [
        (CalendarKind.LAST_BY_END, "1968-05", 100),
        (CalendarKind.FIRST_OF, "1968-05-02", 1),
        (CalendarKind.FIRST_OF, "1968-06", 101),
    ]


@pytest.mark.parametrize(("first", "found"), [("S0301", []), ("S0302", ["leaves cars out after S0100"])])
def test_a_calendar_counts_over_a_declared_gap(first: str, found: list[str]) -> None:
    """S0301 is the next car after S0100, for those between were never built; before S0302 one would be left out."""
    text = (
        HEAD + 'written: "S####"\nruns: [{cars: S0001..S0100}, {cars: S0101..S0300, built: never}, '
        f"{{cars: S0301..S0900}}]\nbuilt by: {{1968-06: S0100}}\nfirst built: {{1968-06-02: {first}}}\n"
    )
    node, _ = compose(text, "numbers/saloon.yml")
    assert node is not None
    desk = Desk()
    read_series("saloon", node, desk)
    assert [finding.code for finding in desk.findings] == ["calendar-out-of-order"] * len(found)
    assert all(says in told(finding.message) for says, finding in zip(found, desk.findings, strict=True))


def test_a_second_kind_of_number_says_so() -> None:
    series = series_of(HEAD + 'written: "B###"\ngives build order: no\nruns: [{cars: B001..B900}]\n')
    assert not series.gives_build_order


@pytest.mark.parametrize(
    ("written", "prefix", "number", "shown"),
    [("AB-C ####", "ABC", 27, "AB-C 0027"), ("##/####", "", 680123, "68/0123"), ("#####", "", 412, "00412")],
)
def test_a_number_is_written_in_its_own_notation(written: str, prefix: str, number: int, shown: str) -> None:
    cars = {"AB-C ####": "ABC0001..ABC0900", "##/####": "67/0001..68/0900", "#####": "00001..00900"}[written]
    series = series_of(HEAD + f'written: "{written}"\nruns: [{{cars: {cars}}}]\n')
    assert write_number(series, prefix, number).written == shown
    assert read(series, shown) == shown


def test_a_table_of_first_numbers_is_typed_as_it_stands() -> None:
    """Each run ends before the next of its counter begins, declared gaps among them; the last goes on."""
    series = series_of(
        HEAD + 'written: "X#####"\nruns: [{from: X00001}, {cars: X24901..X25000, built: never}, {from: X25001}]\n'
        "dated cars: [{car: X31200, built: 1972-05-03}]\n"
    )
    assert [(run.first, run.last, run.built) for run in series.runs] == [
        (1, 24900, True),
        (24901, 25000, False),
        (25001, None, True),
    ]
    assert [read(series, text) for text in ("X24900", "X24901", "X31200", "X31201", "X00000")] == [
        "X24900",
        "(never-built)",
        "X31200",
        "(beyond-known)",
        "(not-in-tables)",
    ]


def test_runs_that_give_only_firsts_end_where_their_own_counter_goes_on() -> None:
    """Numbers that begin anew under another prefix say nothing of where the earlier ones ended."""
    text = HEAD + 'written: ["A####", "B####"]\n{counter}runs: [{{from: A0001, known to: A0700}}, {{from: B0801}}]\n'
    apart, together = (series_of(text.format(counter=one)) for one in ("", "one counter: yes\n"))
    assert [(run.prefix, run.last, run.known) for run in apart.runs] == [("A", None, 700), ("B", None, None)]
    assert [(run.prefix, run.last) for run in together.runs] == [("A", 800), ("B", None)]
    assert [read(apart, text) for text in ("A0700", "A0701", "B0801", "B0802")] == [
        "A0700",
        "(beyond-known)",
        "B0801",
        "(beyond-known)",
    ]


def test_a_run_may_say_its_first_and_its_last_each_by_itself() -> None:
    series = series_of(HEAD + 'written: "S####"\nruns: [{from: S0001, to: S0400}, {from: S0500}]\n')
    assert [(run.first, run.last) for run in series.runs] == [(1, 400), (500, None)]


def test_whatever_names_a_car_makes_it_known_in_a_run_without_an_end(tmp_path: Path) -> None:
    """But for a car seen: the cars that people have looked at reach no dating by themselves."""
    content = shutil.copytree(SMALL, tmp_path / "content")
    (content / "numbers" / "coupe.yml").write_text(
        'name: Coupé\nbody: coupé\nwritten: "C####"\nsuffixes: {L: {hand: left}}\nruns: [{from: C1001}]\n',
        encoding="utf-8",
    )
    (content / "cars-seen").mkdir()
    (content / "cars-seen" / "two.csv").write_text("car\nC1800\nC9000\n", encoding="utf-8")
    reading = read_guide(content)
    assert reading.guide is not None
    assert [(one.code, one.place.line) for one in reading.findings if one.place.file.endswith("two.csv")] == [
        ("seen-not-in-tables", 3)
    ]
    assert reading.guide.series["coupe"].runs[0].known == 1840  # the last with toggles
