"""Mistakes of an editor's year: those that take a table of cars, two files or a ruling to come about.

Each says, besides what is typed in place of what, what an editor who follows the put-right types then (``mend``): the
guide is good again by it.
"""

from __future__ import annotations

from tests.mistakes.mistake import BELTS, COUPE, CSV, DIALS, GUIDE, JUNE, SWITCHES, Mistake
from tests.mistakes.worked_out import WORKED_OUT

__all__ = ["RARER"]

M = Mistake
NOTES = "cars-seen/notes.json"
_DEEP = "[" * 30 + "]" * 30
_BOMB = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{one}: &{one} [{', '.join([f'*{before}'] * 10)}]\n" for before, one in zip("abcde", "bcdef", strict=True)
)
_HAND = "first: C2650, source: parts-list, for: {hand: right}"

_FILES = (
    M("marks/horn.yml.txt", "", "name: Horn\n", "double-ending", "rename it to horn.yml", line=1),
    M("words.yml", "*", f"fascia: {_DEEP}\n", "too-deep", "a stray bracket", line=1),
    M("words.yml", "*", _BOMB, "too-large", "without `&` and `*`", line=5),
    M(NOTES, "", '{"format": 1}', "no-headings", "hand the notes in again", line=1),
    M(JUNE, "", "PK\x03\x04 x", "workbook", "save it as CSV UTF-8", line=1),
    M(JUNE, "", "car,seen on,belts\nC1211,2026-06-15,static,once more\n", "set-aside", "quotes round a text", line=2),
    M(CSV, "C2210,register,,right", "C2210,register,,right,once more", "cells-beyond-heading", "quotes round a text"),
    M(JUNE, "", "Chassis No,seen on,belts\nC1211,2026-06-15,static\n", "column-read-as", "write `car`", line=1),
    M(
        JUNE,
        "",
        "car,seen on,belts,remarks\nC1211,2026-06-15,static,schön\n",
        "read-as-windows-1252",
        "CSV UTF-8",
        line=2,
        encoding="cp1252",
    ),
)
_ENGINE = """name: Engine
body: engine
kind: engine
written: "E#####"
{order}runs:
  - {{cars: E10001..E19999, source: register}}
"""
_LATE = """name: Late
body: late car
written: "1M8GDM9A?KP######"
check digit: yes
runs:
  - {cars: 1M8GDM9AXKP042788..1M8GDM9A1KP042789}
"""

_YEARS = "model years:\n  - {year: 1968, from: 1967-08}\n  - {year: 1969, from: 1968-08}\n"


# What a part is ordered by, and what can be had of it.
_PARTS = (
    M(
        SWITCHES,
        "  rocker:\n",
        "    part numbers: [{number: T10, superseded by: T11}, {number: T11, superseded by: T10}]\n  rocker:\n",
        "superseded-in-circle",
        "leave out `superseded by:` of the number that was in use last",
        mend=((SWITCHES, "{number: T11, superseded by: T10}", "T11"),),
    ),
    M(
        SWITCHES,
        "  rocker:\n",
        "    part numbers: [{number: T10, superseded by: T11}]\n  rocker:\n",
        "successor-unknown",
        "give T11 to the form that it is under `part numbers:`",
        mend=((SWITCHES, "superseded by: T11}]", "superseded by: T11}, T11]"),),
    ),
    M(
        SWITCHES,
        "  rocker:\n",
        "    part numbers: [T10, T-10]\n  rocker:\n",
        "part-number-twice",
        "leave one of the two out",
        mend=((SWITCHES, "[T10, T-10]", "[T10]"),),
    ),
    M(
        SWITCHES,
        "  rocker:\n",
        "    supply: [{had: nobody, as of: 2026-05}, {had: remade, as of: 2026-05}]\n  rocker:\n",
        "supply-disagrees",
        "leave out the one that is no longer so",
        mend=((SWITCHES, ", {had: remade, as of: 2026-05}", ""),),
    ),
)

# What a ruling, a number, a split or an end is said of.
_SAID = (
    M(
        GUIDE,
        "made: 3600, source: ledger}",
        "made: 3600, source: ledger, for: {series: coupe}}",
        "production-of-whom",
        "add `open` to the series",
        mend=((GUIDE, "for: {series: coupe}}", "for: {series: [coupe, open]}}"),),
    ),
    M(
        SWITCHES,
        "{seen: C1612,",
        "{seen: E10010,",
        "number-without-order",
        "the car's number of Coupé",
        besides=(("numbers/engine.yml", "", _ENGINE.format(order="")),),
    ),
    M(
        SWITCHES,
        "{seen: C1612,",
        "{seen: CX2,",
        "car-outside-rule",
        "take it out of `outside:`",
        besides=((COUPE, "strays:", "outside:\n  - {cars: CX1..CX4, as: trial cars}\nstrays:"),),
    ),
    M(
        "numbers/late.yml",
        "",
        _LATE.replace("9A1KP042789", "9A2KP042789"),
        "wrong-check-digit",
        "character by character",
        line=6,
        besides=((GUIDE, "made: 3600", "made: 3602"), (BELTS, "at: C3001,", "at: C3001, for: {series: coupe},")),
        mend=(("numbers/late.yml", "9A2KP", "9A1KP"),),
    ),
    M(
        "numbers/late.yml",
        "",
        _LATE,
        "stated-of-one-series",
        "name a car of each series",
        line=17,
        at=BELTS,
        besides=((GUIDE, "made: 3600", "made: 3602"),),
        mend=((BELTS, "at: C3001,", "at: C3001, for: {series: coupe},"),),
    ),
    M(
        DIALS,
        "last: 1969-11",
        "last: model year 1979",
        "unknown-model-year",
        "the tables have 1968, 1969",
        besides=((COUPE, "strays:", f"{_YEARS}strays:"),),
    ),
    M(
        GUIDE,
        "edition: a test\n",
        "edition: a test\naddress: www.example.org/tern\n",
        "bad-address",
        "from https:// to the last slash",
        line=5,
        mend=((GUIDE, "www.example", "https://www.example"), (GUIDE, "org/tern", "org/tern/")),
    ),
    M(
        DIALS,
        "formerly: [chrome]",
        "formerly: [chrome, black]",
        "former-id-taken",
        "take it out of `formerly:`",
        mend=((DIALS, "[chrome, black]", "[chrome]"),),
    ),
    M(DIALS, "order: [bright, black]", "order: [bright, black, black/1]", "repeated-in-order", "name each spell once"),
    M(
        SWITCHES,
        "      - {last: 1967-11, source: newsletter 37}",
        "      - {last: 1967-11, source: newsletter 37, page: 2}\n      - {last: 1967-11, source: newsletter 37}",
        "ruling-names-several",
        "add `form:` or `said for:`",
        line=32,
    ),
    M(
        SWITCHES,
        'set aside: "newsletter 37 last 1967-11"',
        'read: "newsletter 37 last 1967-11", as: {first: 1968-05}',
        "ruling-changes-kind",
        "write `last:`",
        mend=((SWITCHES, "as: {first:", "as: {last:"),),
    ),
    M(
        SWITCHES,
        "why: it gives no source of its own, on: 2026-10-01}",
        'why: it gives no source of its own, on: 2026-10-01}\n  - {set aside: "newsletter 37 last 1967-11", '
        "why: it copies, on: 2026-10-02}",
        "ruled-twice",
        "keep the one that stands",
        line=32,
    ),
    M(
        SWITCHES,
        "why: it gives no source of its own, on: 2026-10-01}",
        'why: it gives no source of its own, on: 2026-10-01}\n  - {set aside: "register seen C1612", '
        "why: not believed, on: 2026-10-02}",
        "ruling-decides-nothing",
        "take the ruling out",
        line=32,
    ),
    M(
        SWITCHES,
        "in place of: [toggle, rocker]}}\n",
        "in place of: [toggle, rocker]}}\n    stated: [{first: 1975, source: parts-list}]\n",
        "statement-without-works",
        "take the statement out",
        line=30,
    ),
    M(
        COUPE,
        'written: "C####"',
        'written: ["C####", "A#", "A###"]',
        "notation-widths",
        'written: ["C####", "A#", "A##", "A###"]',
        mend=((COUPE, '"A#",', '"A#", "A##",'),),
    ),
    M(
        GUIDE,
        "first: 1967-04-10, last: 1972-10-20,",
        "first: [{day: 1967-04-10, source: ledger}, {day: 1967-04-12, source: bulletin-7}], last: 1972-10-20,",
        "rival-ends",
        'ruling: {set aside: "',
        mend=(
            (
                GUIDE,
                "made: 3600,",
                'made: 3600, ruling: {set aside: "bulletin-7 first 1967-04-12", why: a slip, on: 2026-01-31},',
            ),
        ),
    ),
    M(
        GUIDE,
        "edition: a test\n",
        "edition: a test\nwithdrawn: [C1211]\n",
        "withdrawn-unmet",
        "compare it with the sheets",
        line=5,
        mend=((GUIDE, "[C1211]", "[C1210]"),),
    ),
    M(
        GUIDE,
        "language: en-GB\n",
        "language: en-GB\nalso in: [de]\nsubtitle: {de: Woran man ihn erkennt.}\n",
        "not-in-language",
        "add it there, after en-GB:",
        line=7,
    ),
    M(
        SWITCHES,
        "      - {last: 1967-11, source: newsletter 37}",
        "      - {last: 1967-11, source: newsletter 37}\n      - {last: 1967-10, source: ledger}",
        "statements-clash",
        "decide under `rulings:`",
        line=16,
        more=1,
        follows=("ruling-reopened",),
    ),
)

RARER = (*_FILES, *_SAID, *_PARTS, *WORKED_OUT)
