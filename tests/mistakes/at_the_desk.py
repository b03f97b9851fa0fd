"""Mistakes that a first editor made with the handbook alone, each once told badly; `table` says what stands here."""

from __future__ import annotations

from tests.mistakes.mistake import AREAS, BELTS, COUPE, DIALS, GUIDE, JUNE, SEEN, SWITCHES, Mistake

__all__ = ["AT_THE_DESK"]

M = Mistake
_FIRST = "C1210,2026-06-14,right,black-vinyl,yes,toggle"

_CENTURIES = (
    M(COUPE, "1968-05: C1866", "1868-05: C1866", "calendar-out-of-order"),
    M(COUPE, "1972-10-20: C4200", "2072-10-20: C4200", "calendar-out-of-order"),
)
_TWICE = (
    M(SWITCHES, "order: [toggle, rocker]", "order: [toggle,, , rocker]", "no-comma"),
    M(SWITCHES, "{last: C1840,", "{last: 1968/69,", "bad-date", "write 1968/1969"),
    M(
        "numbers/open.yml",
        "  - {cars: D101..D600, source: ledger}\n",
        "  - {cars: C4001..C4100, source: ledger}\n  - {cars: D101..D600, source: ledger}\n",
        "number-of-two-series",
        "with the letters that tell the two apart",
        line=6,
        besides=(
            ("numbers/open.yml", 'written: "D###"', 'written: ["D###", "C####"]'),
            (GUIDE, "made: 3600", "made: 3700"),
        ),
        mend=(("numbers/open.yml", "C4001..C4100", "C4301..C4400"),),
    ),
)
_SHEETS = (
    M(SEEN, "C1210,", "1210,", "seen-number-unread"),
    M(JUNE, "", "\n", "set-aside", "take the file away", line=1),
    M(SEEN, "D410,", "D410 (ex works),", "seen-number-unread", "write D410; the rest belongs under `remarks`"),
    M(SEEN, _FIRST, _FIRST + " (rusty)", "set-aside"),
    M(SEEN, _FIRST, _FIRST + " ?", "set-aside", "write cannot-tell"),
    M(
        SEEN,
        "D410,2026-06-14,right,black-vinyl,no,rocker,black,cannot-tell",
        "Total,40",
        "set-aside",
        "take the line out",
    ),
    M(SEEN, "untouched,switches", "untouched,What do the small switches look like?", "column-read-as"),
    M(SEEN, "untouched,switches", "untouched,Small switch", "column-not-read"),
    M(
        SEEN,
        "2026-06-14",
        "05/06/2026",
        "set-aside",
        "write 2026-06-05 or 2026-05-06 here, and the others in the same way",
        besides=((SEEN, "C2310,2026-06-14", "C2310,07/06/2026"), (SEEN, "C3350,2026-06-14", "C3350,2026-06-14")),
    ),
    M(SEEN, _FIRST, _FIRST.replace("toggle", "#N/A"), "set-aside", "write cannot-tell"),
)
_ONE_TOO_MANY = M(SEEN, "C1210,2026-06-14,", "C1210,,2026-06-14,", "set-aside", 'take the "," out', more=6)
_DRAWN = (
    M(
        DIALS,
        "    name: Bright rim\n",
        "    name: Bright rim\n    detail: {name: The rim all round the dial, spot: 124 128}\n",
        "too-many-words",
        "name the detail alone",
        line=13,
    ),
)
_FILES = (
    M(
        "cars-seen.csv",
        "",
        "car,switches\nC1210,toggle\n",
        "file-not-read",
        "move it into the folder cars-seen/",
        line=1,
    ),
)
_TYPED = (
    M(DIALS, "name: Bright rim", "name: 'Bright rim' (chrome)", "needs-quotes"),
    M(DIALS, "name: Bright rim", "name: 'Bright' and 'rim'", "needs-quotes"),
    M(DIALS, "name: Bright rim", "name: “Bright rim", "unclosed-quotes", "take “ out"),
    M(DIALS, "name: Bright rim", "name: Bright rim”", "unclosed-quotes", "take ” out"),
    M(SWITCHES, "first: about May 1968", "first: about Jully 1968", "bad-date", "`1968-07`"),
    M(DIALS, "last: 1969-11", "last: 3 Novenber 1969", "bad-date", "`1969-11-03`"),
)
_PLACED = (
    M(
        SWITCHES,
        """  symbols:
    name: Rockers with symbols
    answer: Flat rockers, each with a picture
    describes: A flat rocker with a picture.
    fitted as:""",
        """symbols:
  name: Rockers with symbols
  answer: Flat rockers, each with a picture
  describes: A flat rocker with a picture.
  fitted as:""",
        "unknown-key",
        "to the right, so that it stands under `forms:`",
    ),
    M(AREAS, "[switches, dials]", "[switches dials]", "unknown-mark", "write [switches, dials]"),
)
_SYMBOLS = "    fitted as: {service part: {from: 1975, in place of: [toggle, rocker]}}\n"
_STATED = "    stated: [{first: 1968-06, source: bulletin-7}, {last: 1968-11, source: bulletin-7}]\n"
_LATER = (
    SWITCHES,
    "      - {first: about May 1968, source: bulletin-7}",
    "      - {first: 1968-11, source: bulletin-7}",
)
_FORGOTTEN = (
    M(
        SWITCHES,
        "order: [toggle, symbols, rocker]",
        "order: [toggle, rocker]",
        "form-not-in-order",
        line=23,
        besides=(
            (SWITCHES, "[toggle, rocker]\n", "[toggle, symbols, rocker]\n"),
            (SWITCHES, _SYMBOLS, _STATED),
            _LATER,
        ),
        mend=((SWITCHES, "order: [toggle, rocker]", "order: [toggle, symbols, rocker]"),),
        put_right="`order: [toggle, symbols, rocker]`",
        more=1,
        follows=("ruling-reopened",),
    ),
    M(
        SWITCHES,
        "order: [toggle, rocker]\n",
        "",
        "order-left-out",
        line=1,
        put_right="type `order: [toggle, rocker]`",
        mend=((SWITCHES, "survives: most\n", "survives: most\norder: [toggle, rocker]\n"),),
    ),
    M(
        DIALS,
        "      - {last: 1969-11, source: parts-list}\n",
        "      - {last: 1969-11, source: parts-list}\n      - {last: 1969-11, source: parts-list}\n",
        "statement-twice",
        "take one of the two lines out",
        line=18,
        mend=((DIALS, "      - {last: 1969-11, source: parts-list}\n", ""),),
    ),
    M(
        GUIDE,
        "{market: home, share: rest}",
        "{market: home, share: 3 in 10}",
        "shares-not-whole",
        "write `share: rest`",
        line=19,
    ),
    M(GUIDE, "share: 4 in 10", "share: 14 in 10", "bad-share", "4 in 10"),
    M("interiors.yml", "share: rest", "share: 4 in 10", "shares-not-whole", "write `share: rest`", line=2),
    M("interiors.yml", "share: rest", "share: 9 in 10", "shares-not-whole", "write `share: rest`", line=2),
)
_PASTED = (
    M(
        SWITCHES,
        '{set aside: "newsletter 37 last 1967-11", why: it gives no source of its own, on: 2026-10-01}',
        '{read: "newsletter 37 last 1967-11", as: {for: ...}, why: ..., on: ...}',
        "missing-key",
        "in its place",
        more=2,
        mend=((SWITCHES, "as: {for: ...}, why: ..., on: ...", "as: {last: 1968-05}, why: a slip, on: 2026-10-01"),),
    ),
    M(SWITCHES, "{seen: C2110, source: register}", "{seen: C2110, source: ...}", "missing-key", "the id of a source"),
)
_OTHERWISE = (
    M(SWITCHES, "order: [toggle, rocker]", "order: toggle -> rocker", "unknown-form"),
    M(DIALS, "last: 1969-11", "last: (1969-11)", "bad-when"),
    M(DIALS, "last: 1969-11", "last: 1969 November", "bad-when"),
    M(DIALS, "last: 1969-11", "last: Q4 1969", "bad-when"),
    M(SWITCHES, "seen: C2110", "seen: C2110 (approx.)", "bad-when"),
    M(SWITCHES, "seen: C2110", "seen: ~C2110", "bad-when"),
    M(SWITCHES, "seen: C2110", "seen: ≈ C2110", "bad-when"),
    M(SWITCHES, "{seen: C2110,", "{seen: >C2110,", "needs-quotes", 'put quotes round this: ">C2110"'),
    M("interiors.yml", "from: start of late", "from: late", "bad-when"),
    M(DIALS, "for: {hand: right}", "for: {hand = right}", "unknown-scope"),
    M(DIALS, "for: {hand: right}", "for: {hand: RHD}", "unknown-scope"),
    M(DIALS, "source: parts-list, for", "source = parts-list, for", "unknown-key"),
    M(DIALS, "for: {hand: right}", "only: {hand: right}", "unknown-key"),
    M(
        DIALS,
        "source: parts-list, for",
        "source: parts-list p. 12, for",
        "unknown-source",
        "write parts-list, and beside it `page: 12`",
        mend=((DIALS, "parts-list p. 12", "parts-list, page: 12"),),
    ),
    M(DIALS, "last: 1969-11", "last: the 3rd of November 1969", "bad-when"),
    M(DIALS, "last: 1969-11", "last: Monday 3 November 1969", "bad-when"),
    M(DIALS, "last: 1969-11", "last: 3rd November, 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 1. 6. 1969", "bad-when"),
    M(DIALS, "last: 1969-11", "last: 11-30-1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 30-11-1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 30-11-69", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 11-30-69", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 01-06-69", "slashed-date", "the year first"),
    M(DIALS, "last: 1969-11", "last: 1-6-1969", "slashed-date", "the year first"),
    M(DIALS, "last: 1969-11", "last: listopad 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 3 października 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 2069-11", "outside-production"),
    M(GUIDE, "first: 1967-04-10, last", "first: 1867-04-10, last", "day-off", more=1, follows=("period-gap",)),
    M(COUPE, "  1968-05: C1866", "  - 1968-05: C1866", "indentation"),
    M(COUPE, "  1967-12: C1440", "  - 1967-12: C1440", "indentation"),
    M(BELTS, "from: static, to: reel", "static: reel", "missing-key"),
    M(SWITCHES, "- {seen: C1612,", "{seen: C1612,", "no-blank"),
    M(SWITCHES, "      - {seen: C2110,", "        - {seen: C2110,", "indentation", "the same number of spaces"),
    M(SWITCHES, "look: ", "- look: ", "indentation"),
    M(
        "statements.csv",
        "belts,static,seen,D210,",
        "belts;static;seen;D210;",
        "cells-beyond-heading",
        "there each time",
    ),
    M(SWITCHES, "{last: C1840, source: bulletin-7", "{last: C1840,, source: bulletin-7", "no-comma"),
    M(SWITCHES, "{last: C1840, source: bulletin-7", "{, last: C1840, source: bulletin-7", "no-comma"),
    M(SWITCHES, "{last: C1840, source: bulletin-7", "{last: C1840 | source: bulletin-7", "no-comma"),
    M(GUIDE, "made: 3600", "made: c. 3600", "not-a-whole-number"),
    M(SWITCHES, "reach: glass", "reach: outdoors", "unknown-choice", "write outside"),
    M(GUIDE, "car: Larkhythe Tern", "marque: Larkhythe Tern", "unknown-key"),
    M(GUIDE, "share: 4 in 10", "share: 40", "bad-share"),
    M("periods.yml", "to: 1968-12-31", "until: 1968-12-31", "unknown-key"),
    M("sources.yml", "kind: ledger, trust: high", "kind: ledger, trust: very high", "unknown-choice"),
    M(AREAS, "cabin: {name: Cabin, marks: [belts]}", "cabin: [belts]", "wrong-shape", "`name: ...`"),
    M(BELTS, "at: C3001", "on: C3001", "unknown-key"),
    M(SWITCHES, "    describes: A round metal toggle.", "    descripton: A round metal toggle.", "unknown-key"),
    M(SEEN, "C1210,2026-06-14,right", "C1210,2026-06-14,RHD", "set-aside"),
    M(SEEN, "yes,toggle,bright", "yes,replica,bright", "set-aside"),
    M("statements.csv", "belts,static,seen", "belts,static,spotted", "unknown-choice"),
    M(
        SWITCHES,
        "order: [toggle, rocker]",
        "order: [rocker, toggle]",
        "order-backwards",
        "type `order: [toggle, rocker]`",
        mend=((SWITCHES, "[rocker, toggle]", "[toggle, rocker]"),),
    ),
)
AT_THE_DESK = (
    *_CENTURIES,
    *_TWICE,
    *_OTHERWISE,
    *_FORGOTTEN,
    *_PASTED,
    *_PLACED,
    *_SHEETS,
    *_TYPED,
    _ONE_TOO_MANY,
    *_DRAWN,
    *_FILES,
)
