"""Mistakes that a first editor made with the handbook alone, each once told badly; `table` says what stands here."""

from __future__ import annotations

from tests.mistakes.table import AREAS, DIALS, SEEN, SWITCHES, Mistake

__all__ = ["AT_THE_DESK"]

M = Mistake
_FIRST = "C1210,2026-06-14,right,black-vinyl,yes,toggle"

_SHEETS = (
    M(SEEN, "C1210,", "1210,", "seen-number-unread"),
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
AT_THE_DESK = (*_PLACED, *_SHEETS, *_TYPED, _ONE_TOO_MANY, *_DRAWN, *_FILES)
