"""Mistakes that a first editor made with the handbook alone, each once told badly; `table` says what stands here."""

from __future__ import annotations

from tests.mistakes.table import DIALS, SEEN, Mistake

__all__ = ["AT_THE_DESK"]

M = Mistake
_FIRST = "C1210,2026-06-14,right,black-vinyl,yes,toggle"

_SHEETS = (
    M(SEEN, "C1210,", "1210,", "seen-number-unread"),
    M(SEEN, "D410,", "D410 (ex works),", "seen-number-unread", "write D410; the rest belongs under `remarks`"),
    M(SEEN, _FIRST, _FIRST + " (rusty)", "set-aside"),
    M(SEEN, _FIRST, _FIRST + " ?", "set-aside", "write cannot-tell"),
    M(SEEN, _FIRST, _FIRST.replace("toggle", "#N/A"), "set-aside", "write cannot-tell"),
)
_ONE_TOO_MANY = M(SEEN, "C1210,2026-06-14,", "C1210,,2026-06-14,", "set-aside", 'take the "," out')
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
AT_THE_DESK = (*_SHEETS, _ONE_TOO_MANY, *_DRAWN, *_FILES)
