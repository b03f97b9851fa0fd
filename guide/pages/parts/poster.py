"""The timeline as a picture to hang up: rows of bands on an upright sheet of A3, an SVG that stands alone.

Lengths are millimetres. The smallest letters are 3 mm high, 8.5 pt, the floor of print; a name too long for its column
takes further lines, and what takes more lines than a sheet holds at that size goes on to the next sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from itertools import accumulate
from textwrap import wrap

from guide.pages.parts.band import PITCHES, drawn_strip
from guide.pages.parts.printed_edition import edition_said
from guide.pages.parts.strips import DrawnSpell, Strip, name_rooms
from guide.pages.shelf import Shelf

__all__ = ["PosterRow", "posters"]

_WIDTH, _HEIGHT, _SIDE = 297.0, 420.0, 12.0  # A3 upright, by ISO 216
_HEAD, _AXIS, _FOOT = 24.0, 12.0, 14.0
_LEFT = 107.5  # where the strips begin: parts and kinds of car stand before them
_CARS = 44.0  # where the kinds of car begin
_LEAST, _MOST = 3.9, 7.0  # of a row's line
_DEEP = 28  # of a strip in its own box
_LETTER = 1.75  # a letter's width in the widest face, at 3 mm

_STYLE = """text{font:3px system-ui,"Segoe UI",Roboto,"Noto Sans",sans-serif;fill:#4e483f}
.title{font:9px Palatino,"Palatino Linotype",P052,"Noto Serif",serif;fill:#1c1a17}.part,.name{fill:#1c1a17}
.name{font-style:italic;paint-order:stroke;stroke:#fff;stroke-width:.9}.figure{fill:#8a2f14;font-weight:700}
.frame,.slope,.unsure{fill:none;stroke:#1c1a17;stroke-width:1.2;vector-effect:non-scaling-stroke}
.slope,.unsure{stroke:#8a2f14;stroke-width:2}.unsure{stroke-dasharray:3 4}.not,.soon,.sheet{fill:#fff}
.line{stroke:#7c7466;stroke-width:.15}.order-tint{fill:#f1ebdf}.order-line{stroke:#7c7466;stroke-width:1;fill:none}"""


@dataclass(frozen=True, slots=True)
class PosterRow:
    """A row: the part, which cars it is of, and its forms."""

    part: str
    cars: str
    spells: Sequence[DrawnSpell]

    @property
    def names(self) -> tuple[list[str], list[str]]:
        """The part and the cars, each in the lines that its column takes."""
        return wrap(self.part, int((_CARS - _SIDE) / _LETTER)), wrap(self.cars, int((_LEFT - _CARS) / _LETTER))

    @property
    def lines(self) -> int:
        """How many lines the row takes."""
        return max(1, *map(len, self.names))


def posters(shelf: Shelf, strip: Strip, rows: Sequence[PosterRow]) -> list[bytes]:
    """Return the sheets that rows along one strip take, each an SVG."""
    room = _HEIGHT - 2 * _SIDE - _HEAD - _AXIS - _FOOT
    sheets: list[list[PosterRow]] = []
    left = 0
    for row in rows:
        if row.lines > left:
            left = int(room / _LEAST)
            sheets.append([])
        sheets[-1].append(row)
        left -= row.lines
    return [
        _sheet(shelf, strip, some, min(_MOST, room / sum(row.lines for row in some)), (at + 1, len(sheets)))
        for at, some in enumerate(sheets)
    ]


def _sheet(shelf: Shelf, strip: Strip, rows: Sequence[PosterRow], line: float, of: tuple[int, int]) -> bytes:
    top, guide = _SIDE + _HEAD + _AXIS, shelf.guide
    title = shelf.say("pages.timeline.poster", car=guide.car)
    said = [shelf.words.tell(edition_said(shelf)), shelf.say("pages.shell.caution")]
    if of[1] > 1:
        said.insert(0, shelf.say("pages.timeline.poster_sheet", n=of[0], of=of[1]))
    tops = [top + line * before for before in accumulate((row.lines for row in rows), initial=0)]
    parts = [
        _text("title", _SIDE, _SIDE + 9, title),
        _text("legend", _SIDE, _SIDE + 16, shelf.say("pages.timeline.legend")),
        *_axis(strip, top, tops[-1] - top),
        *(
            piece
            for at, one in enumerate(rows)
            for piece in _row(strip, one, tops[at], line, named=not at or rows[at - 1].part != one.part)
        ),
        _text("foot", _SIDE, _HEIGHT - _SIDE, " ".join(said)),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH:g}mm" height="{_HEIGHT:g}mm" '
        f'viewBox="0 0 {_WIDTH:g} {_HEIGHT:g}" lang="{escape(guide.language)}"><title>{escape(title)}</title>'
        f"<style>{_STYLE}</style><defs>{_patterns()}</defs>"
        f'<path class="sheet" d="M0 0H{_WIDTH:g}V{_HEIGHT:g}H0Z"/>{"".join(parts)}</svg>\n'
    ).encode()


def _patterns() -> str:
    """The fills by a form's place on its plate, as the shell of a page has them."""
    found = ""
    for at, pitch in enumerate(PITCHES, 2):
        found += (
            f'<pattern id="order-{at}" width="1000" height="{pitch}" patternUnits="userSpaceOnUse">'
            f'<path class="order-tint" d="M0 0H1000V{pitch}H0Z"/>'
            f'<path class="order-line" d="M0 {pitch / 2:g}H1000"/></pattern>'
        )
    return found


def _axis(strip: Strip, top: float, deep: float) -> Iterator[str]:
    for name, first, last in strip.stretches:
        a, b = _at(strip.share(first)), _at(strip.share(last, after=True))
        yield f'<path class="line" d="M{a:.2f} {top - 4:g}V{top + deep:.2f}"/>'
        if b - a > len(name) * _LETTER:
            yield _text("year", (a + b) / 2, top - 2, name, "middle")
    for at, (name, first) in enumerate(strip.marks):
        a = _at(strip.share(first))
        after = _at(strip.share(strip.marks[at + 1][1])) if at + 1 < len(strip.marks) else _WIDTH - _SIDE
        yield f'<path class="line" d="M{a:.2f} {top - 11:g}V{top - 6:g}"/>'
        if after - a > len(name) * _LETTER + 1:
            yield _text("period", a + 1, top - 7, name)


def _row(strip: Strip, one: PosterRow, top: float, line: float, *, named: bool) -> Iterator[str]:
    """Draw a row, its strip one line deep in the middle of the lines of its names."""
    foot, deep, middle = top + line / 2 + 1, line - 0.9, line * (one.lines - 1) / 2
    part, cars = one.names
    for at, words in enumerate(part if named else ()):
        yield _text("part", _SIDE, foot + at * line, words)
    for at, words in enumerate(cars):
        yield _text("cars", _CARS, foot + at * line, words)
    foot += middle
    yield (
        f'<svg x="{_LEFT:g}" y="{top + middle + 0.45:.2f}" width="{_WIDTH - _SIDE - _LEFT:g}" height="{deep:.2f}" '
        f'viewBox="0 0 1000 {_DEEP}" preserveAspectRatio="none" overflow="visible">'
        f"{drawn_strip(strip, one.spells, _DEEP)}</svg>"
    )
    for spell, sides in zip(one.spells, name_rooms(strip, one.spells), strict=True):
        for at, (a, b) in enumerate(sides):
            room = (_at(b) - _at(a)) / _LETTER
            words = f" {escape(spell.name)}" if not at and room > len(spell.name) + 4 else ""
            if room > 2:
                yield (
                    f'<text class="name" x="{_at(a) + 1.8:.2f}" y="{foot:.2f}">'
                    f'<tspan class="figure">{spell.figure}</tspan>{words}</text>'
                )


def _at(share: float) -> float:
    return _LEFT + share * (_WIDTH - _SIDE - _LEFT)


def _text(kind: str, x: float, y: float, words: str, anchor: str = "start") -> str:
    return f'<text class="{kind}" x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}">{escape(words)}</text>'
