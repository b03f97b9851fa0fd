"""Tables from spreadsheets: RFC 4180, separators, guarded cells, dates of a column, and the cars in them.

Source: RFC 4180, section 2; what spreadsheets make of it is common practice, no source.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.facts.read import read_guide
from guide.facts.text.csv_tables import bare_cell, guard_cell, parse_csv, read_table, settle_dates, write_csv
from guide.facts.text.desk import Desk
from guide.facts.types import CarSeen, NumberFailure, Report, Scope, Statement, StatementKind
from guide.finding import Place, Severity
from tests.told import told

HERE = Path(__file__).parent
HEADINGS = ("car", "seen on", "remarks")


def cells(text: str, separator: str = ",") -> list[list[str]]:
    rows, troubles = parse_csv(text, separator, "t.csv")
    assert troubles == []
    return [[str(cell) for cell in row] for row in rows]


def table_of(text: str, desk: Desk | None = None) -> list[dict[str, str]]:
    table = read_table(text.encode("utf-8"), "t.csv", HEADINGS, desk or Desk())
    return [{name: str(cell) for name, cell in row.cells.items()} for row in table.rows]


def test_the_last_line_end_may_be_left_out() -> None:
    assert cells("a,b\nc,d\n") == cells("a,b\nc,d") == [["a", "b"], ["c", "d"]]


def test_a_cell_in_quotes_may_hold_line_ends_separators_and_quotes() -> None:
    assert cells('"aaa","b\nbb","ccc"\nzzz,"y,y","x""x"\n') == [["aaa", "b\nbb", "ccc"], ["zzz", "y,y", 'x"x']]


def test_places_count_the_lines_inside_quotes() -> None:
    rows, _ = parse_csv('a,"b\nbb",c\nd,e,f\n', ",", "t.csv")
    assert [str(cell.place) for cell in rows[0]] == ["t.csv:1:1", "t.csv:1:3", "t.csv:2:5"]
    assert [str(cell.place) for cell in rows[1]] == ["t.csv:3:1", "t.csv:3:3", "t.csv:3:5"]


def test_a_cell_that_goes_on_after_its_quotes_is_said_where_it_begins() -> None:
    """One quote too many above swallows lines up to the next quote: they must not vanish in silence."""
    _, troubles = parse_csv('a,"b\nc,d\ne,"f g"\nh,i\n', ",", "t.csv")
    (trouble,) = troubles
    assert (trouble.code, trouble.place) == ("unclosed-quotes", Place("t.csv", 1, 3))
    assert "goes on after the next one" in told(trouble.message)


def test_lines_of_separators_alone_are_no_records() -> None:
    assert cells("a,b\n,,\n\nc,d\n") == [["a", "b"], ["c", "d"]]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_the_separator_is_the_one_that_makes_the_headings_known(separator: str) -> None:
    text = separator.join(("Car", "seen_on", "remarks")) + "\n" + separator.join(("C1", "2026-06-01", "a b")) + "\n"
    assert table_of(text) == [{"car": "C1", "seen on": "2026-06-01", "remarks": "a b"}]


def test_a_line_that_names_the_separator_is_obeyed_and_counted() -> None:
    desk = Desk()
    table = read_table(b"sep=;\r\ncar;remarks\r\nC1;x\r\n", "t.csv", HEADINGS, desk)
    assert [(dict(row.cells), row.place) for row in table.rows] == [
        ({"car": "C1", "remarks": "x"}, Place("t.csv", 3, 1))
    ]
    assert desk.findings == ()


def test_private_columns_are_passed_over_without_a_word() -> None:
    desk = Desk()
    assert table_of("car,private: owner,#,remarks\nC1,A Name,7,x\n", desk) == [{"car": "C1", "remarks": "x"}]
    assert desk.findings == ()


GUARDED = {
    "=HYPERLINK(A1)": "'=HYPERLINK(A1)",
    "+49 30 1": "'+49 30 1",
    "-5 mm": "'-5 mm",
    "@home": "'@home",
    "'=x": "''=x",
    "\t=x": "'\t'=x",
    "worn;=x": "worn;'=x",
    "worn\n=x\n-y": "worn\n'=x\n'-y",
    "\uff1dx": "'\uff1dx",
    "worn; -5 mm": "worn; -5 mm",
    "-5": "-5",
    "+5.25": "+5.25",
    "-5,25": "-5,25",
    "'tis": "'tis",
    "C1840": "C1840",
    "": "",
}


@pytest.mark.parametrize("cell", GUARDED)
def test_a_cell_that_would_run_is_guarded_and_a_number_is_not(cell: str) -> None:
    assert guard_cell(cell) == GUARDED[cell]


@settings(max_examples=300, deadline=None)
@given(cell=st.text(alphabet="'=+-@\t;\n\uff1d5.x ", max_size=8))
def test_undoing_a_guard_is_exact(cell: str) -> None:
    assert bare_cell(guard_cell(cell)) == cell


@settings(max_examples=200, deadline=None)
@given(rows=st.lists(st.lists(st.text(alphabet='ab,;"\n=-5é', max_size=6), min_size=2, max_size=2), min_size=1))
def test_what_is_written_is_read_back(rows: list[list[str]]) -> None:
    kept = [[cell.strip() for cell in row] for row in rows]
    read = cells(write_csv(kept).decode("utf-8-sig").replace("\r\n", "\n"))
    assert read == [row for row in kept if any(row)]


def settled(*dates: str) -> tuple[list[str | None], list[str]]:
    desk = Desk()
    text = "car,seen on\n" + "".join(f"C{number},{day}\n" for number, day in enumerate(dates))
    table = settle_dates(read_table(text.encode(), "t.csv", HEADINGS, desk), "seen on", desk)
    return [row.cells.get("seen on") for row in table.rows], [finding.code for finding in desk.findings]


def test_one_date_tells_day_from_month_for_its_whole_column() -> None:
    assert settled("03/04/2024", "15/04/2024", "2024-05-01") == (["2024-04-03", "2024-04-15", "2024-05-01"], [])
    assert settled("03/04/2024", "04/15/2024") == (["2024-03-04", "2024-04-15"], [])


def test_full_stops_mean_that_the_day_comes_first() -> None:
    assert settled("03.04.2024") == (["2024-04-03"], [])
    assert settled("03/03/2024", "5/5/2024") == (["2024-03-03", "2024-05-05"], [])


def test_a_column_that_tells_nothing_or_both_is_refused() -> None:
    assert settled("03/04/2024", "05/06/2024") == ([None, None], ["day-or-month"])  # one question
    assert settled("13/04/2024", "04/13/2024") == ([None, None], ["day-or-month"] * 2)


def test_what_is_no_date_either_way_decides_nothing_and_is_left_to_be_read_as_a_date() -> None:
    assert settled("14/13/2024", "03/14/2024") == (["14/13/2024", "2024-03-14"], [])


def overlaid(tmp_path: Path, **tables: str) -> tuple[tuple[CarSeen, ...], tuple[Statement, ...], list[str]]:
    content = shutil.copytree(HERE / "small", tmp_path / "content")
    for name, text in tables.items():
        path = content / ("statements.csv" if name == "statements" else f"cars-seen/{name}.csv")
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    reading = read_guide(content)
    assert reading.guide is not None
    return (
        reading.guide.cars_seen,
        reading.guide.marks["switches"].statements,
        [finding.code for finding in reading.findings],
    )


def test_a_car_seen_is_read_whole(tmp_path: Path) -> None:
    (car,), _, findings = overlaid(
        tmp_path,
        june=(
            "car,hand,interior,untouched,seen on,source,remarks,switches\n"
            "c 2210 l,left,black-vinyl,yes,2026-06-01,ledger,Kept dry.,rocker+toggle own\n"
        ),
    )
    assert findings == []
    place = Place("cars-seen/june.csv", 2, 1)
    assert car.car is not None
    assert (car.id, car.car.written, car.number_text, car.failure) == ("june-1", "C2210L", "c 2210 l", None)
    assert (car.splits, car.untouched, car.source, car.place) == (
        {"hand": "left", "interior": "black-vinyl"},
        True,
        "ledger",
        place,
    )
    assert car.reports == (
        Report(
            mark="switches",
            forms=("toggle", "rocker"),
            kind="several",
            own=True,
            place=Place("cars-seen/june.csv", 2, 59),
        ),
    )


@pytest.mark.parametrize("cell", ["changed", "none", "cannot-tell"])
def test_an_answer_of_the_keys_own_is_no_form(tmp_path: Path, cell: str) -> None:
    (car,), _, findings = overlaid(tmp_path, june=f"car,switches\nC1840,{cell}\n")
    assert findings == []
    assert [(report.kind, report.forms) for report in car.reports] == [(cell, ())]


def test_the_line_of_answers_that_the_key_gives_can_be_pasted(tmp_path: Path) -> None:
    (car,), _, findings = overlaid(tmp_path, june="car,answers\nC1840,switches=toggle+rocker\n")
    assert findings == []
    assert [(report.mark, report.forms, report.kind) for report in car.reports] == [
        ("switches", ("toggle", "rocker"), "several")
    ]


def test_what_such_a_line_says_of_the_whole_car_is_kept_as_its_own_columns_are(tmp_path: Path) -> None:
    lines = (
        "car,body,answers\nC1840,coupe,body=coupe interior=black-vinyl switches=toggle\n,hearse,interior=cannot-tell\n"
    )
    (car, other), _, findings = overlaid(tmp_path, june=lines)
    assert (car.splits, other.splits) == ({"interior": "black-vinyl"}, {})
    assert [report.mark for report in car.reports] == ["switches"]
    assert findings == ["set-aside"]


def test_two_cars_may_claim_one_number_and_strange_numbers_are_kept(tmp_path: Path) -> None:
    cars, _, findings = overlaid(
        tmp_path, june="car,another car\nC1840\nC 1840,yes\nC2950\nTRN 412K\n", may="car,remarks\n,no number\n"
    )
    assert findings == ["seen-not-in-tables", "seen-registration"]
    assert [(car.id, car.number_text, car.failure) for car in cars] == [
        ("june-1", "C1840", None),
        ("june-2", "C 1840", None),
        ("june-3", "C2950", NumberFailure.NOT_IN_TABLES),
        ("june-4", "", NumberFailure.REGISTRATION),
        ("may-1", "", None),
    ]


def test_a_needed_column_that_is_not_there_is_said_once(tmp_path: Path) -> None:
    lines = "switches,toggle,last,C1850\n" * 40
    _, _, findings = overlaid(tmp_path, statements=f"marks,form,kind,when\n{lines}")
    assert findings == ["column-not-read", "missing-key"]


def test_a_statement_in_a_table_is_the_statement_that_yaml_would_make(tmp_path: Path) -> None:
    _, statements, findings = overlaid(
        tmp_path,
        statements=(
            "mark;form;kind;when;other;source;page;hand;old stock;the last ever\n"
            "switches;toggle;last;C1850;;ledger;7;left+right;at most 60 cars;yes\n"
            "switches;rocker;after;;toggle;ledger;;;;\n"
            "switches;toggle;changes;1968-05;rocker;ledger;;;;\n"
        ),
    )
    assert findings == []
    last, after, old, new = statements[2:]
    assert (last.kind, last.form, last.source, last.page, last.scope, last.old_stock_cars, last.superlative) == (
        StatementKind.LAST,
        "toggle",
        "ledger",
        "7",
        Scope((("hand", ("right", "left")),)),
        60,
        True,
    )
    assert last.place == Place("statements.csv", 2, 22)
    assert (after.kind, after.form, after.other and after.other.form) == (StatementKind.AFTER, "rocker", "toggle")
    assert [(one.kind, one.form, one.place) for one in (old, new)] == [
        (StatementKind.LAST, "toggle", Place("statements.csv", 4, 1)),
        (StatementKind.FIRST, "rocker", Place("statements.csv", 4, 1)),
    ]


def test_what_people_note_is_kept_as_far_as_it_can_be_read() -> None:
    """The table is that of the case in bad/: its title, semicolons and headings, a cell of each kind that is set aside,
    and the same notes as the key hands them in."""
    bad = HERE / "bad" / "cars-as-people-note-them" / "cars-seen"
    with tempfile.TemporaryDirectory() as folder:
        content = Path(folder, "content")
        shutil.copytree(HERE / "small", content)
        for name in ("club.csv", "phone.json"):
            (content / "cars-seen").mkdir(exist_ok=True)
            shutil.copy(bad / name, content / "cars-seen" / name)
        reading = read_guide(content)
    assert reading.guide is not None
    assert {finding.severity for finding in reading.findings} == {Severity.WARNING, Severity.NOTE}
    found = [
        (car.number_text, car.untouched, [(one.forms, one.own, one.place.line) for one in car.reports])
        for car in reading.guide.cars_seen
    ]
    assert found == [
        ("C1840", True, []),
        ("C1841", False, []),
        ("C1842", False, []),
        ("C1843", False, []),
        ("C1844", False, []),
        ("C1845", False, []),
        ("C1846", False, [(("toggle",), True, 10)]),
        ("C1847", False, [(("toggle",), None, 11)]),
        ("C1850", False, [(("toggle", "rocker"), None, 13)]),
        ("", True, [(("toggle",), None, 23)]),
    ]


def test_the_headings_are_the_line_that_knows_most_of_them() -> None:
    desk = Desk()
    text = "Car;and what we saw of it;\n\nCar;Seen on;Remarks\nC1;2026-06-01;x\n"
    assert table_of(text, desk) == [{"car": "C1", "seen on": "2026-06-01", "remarks": "x"}]
    assert desk.findings == ()


@pytest.mark.parametrize(
    "headings",
    [
        "Fahrgestellnummer,gesehen am,unberührt,Bemerkungen",
        "Fgst.-Nr.,Datum,Originalzustand,Notizen",
        "Chassis no.,Seen on?,Untouched?,Notes",
        "VIN number,Spotted on,All original,comments",
    ],
)
def test_headings_are_heard_as_people_say_them_in_every_language_there_is(tmp_path: Path, headings: str) -> None:
    cars, _, findings = overlaid(tmp_path, june=f"{headings}\nC1840,2026-05-12,yes,x\n")
    assert [(car.number_text, car.untouched) for car in cars] == [("C1840", True)]
    assert set(findings) == {"column-read-as"}
