"""Mistakes that are seen once all is worked out, dated and laid out: limits, periods, cars seen, pictures, sheets."""

from __future__ import annotations

import io
import struct
import zlib

from PIL import Image

from tests.mistakes.mistake import (
    AREAS,
    BELTS,
    COUPE,
    CSV,
    DIALS,
    GUIDE,
    INTERIORS,
    JUNE,
    PERIODS,
    SEEN,
    SWITCHES,
    Mistake,
)

__all__ = ["WORKED_OUT"]

M = Mistake
_HORN = """name: Horn push
question: What sign is on the horn push?
look: The middle of the wheel.
reach: glass
survives: most
{more}forms:
  tern:
    name: Tern
    answer: A flying tern
    describes: A push with a flying tern.
{tern}
"""
_PLAIN = "  plain:\n    name: Plain\n    answer: No sign\n    describes: A plain push.\n"
_DRAWN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9"/></svg>'
_SPOT = (GUIDE, "belts: 30 30", "belts: 30 30, horn: 40 30")
_IN_AREA = (AREAS, "[switches, dials]", "[switches, dials, horn]")
_TERN, _BARE = ("pictures/horn-tern.svg", "", _DRAWN), ("pictures/horn-plain.svg", "", _DRAWN.replace('9"/', '8"/'))
HORN = "marks/horn.yml"


def _horn(more: str, tern: str) -> str:
    return _HORN.format(more=more, tern=tern)


# What the limits know: of numbers, days, periods, interiors, counts.
_KNOWN = (
    M(COUPE, "1972-10-20: C4200", "1972-10-20: C4100", "calendar-contradicts", "correct the number or the date"),
    M(
        INTERIORS,
        "{from: start of late, to: end}",
        "{from: 1971-02, to: C1500}",
        "span-inverted",
        "correct `from:` or `to:`",
    ),
    M(
        DIALS,
        "for: {hand: right}}",
        "for: {hand: right}}\n      - {seen: C2645, source: register, for: {hand: right}}",
        "mixed-by-number",
        "write it as “about” that car",
        line=23,
        mend=((DIALS, "first: C2650", "first: about C2650"),),
    ),
    M(
        SWITCHES,
        "      - {last: 1967-11, source: newsletter 37}",
        "      - {last: 1967-11, source: newsletter 37}\n      - {seen: C1900, source: register}",
        "statements-clash",
        "whichever line is mistaken",
        line=16,
    ),
    M(
        GUIDE,
        "renewed together:\n",
        "changed together:\n  - {name: a new year, forms: [switches/rocker, belts/reel], source: newsletter 37}\n"
        "renewed together:\n",
        "together-apart",
        "add `for:`",
        line=23,
    ),
    M(
        DIALS,
        "for: {hand: right}}",
        "for: {hand: right}}\n      - {seen: C2700L, source: register, for: {hand: right}}",
        "speaks-for-no-car",
        "correct the number or its `for:`",
        line=24,
        mend=((DIALS, "C2700L", "C2700"),),
    ),
    M(
        SWITCHES,
        "{seen: C2110,",
        "{seen: March 1970, for: {series: coupe},",
        "seen-while-shut",
        "the days under `closed:`",
        mend=((SWITCHES, "March 1970", "May 1970"),),
    ),
    M(
        COUPE,
        "C3001..C4200",
        "C3001..C9200",
        "range-too-wide",
        "correct the run",
        besides=((COUPE, "10-20: C4200", "10-20: C9200"),),
    ),
    M(
        PERIODS,
        "early: {name: Early,",
        "early: {name: Early, cars: 1400, numbers: [C1001..C2300, D101..D300],",
        "period-cars-differ",
        "correct `cars:` or `numbers:`",
        line=1,
    ),
    M(
        PERIODS,
        "early: {name: Early,",
        "early: {name: Early, numbers: [C1001..C2400],",
        "period-outside-limits",
        "correct the number",
        line=1,
    ),
    M(
        PERIODS,
        "early: {name: Early,",
        "early: {name: Early, cars: 1500,",
        "periods-differ",
        "correct `cars:` of a period",
        line=1,
        besides=((PERIODS, "name: Late,", "name: Late, cars: 2000,"),),
        mend=((PERIODS, "cars: 2000", "cars: 2100"),),
    ),
    M(
        BELTS,
        "    describes: A belt that hangs.\n",
        "    describes: A belt that hangs.\n"
        "    stated: [{seen: C1612, source: register, for: {interior: tan-cloth}}]\n",
        "interior-outside-limits",
        "`built:` of the interior",
        line=12,
        more=1,
    ),
    M(
        SWITCHES,
        "    fitted as: {service part: {from: 1975, in place of: [toggle, rocker]}}\n",
        "    fitted as: {option: {from: 1971-01}, service part: {from: 1975, in place of: [toggle, rocker]}}\n"
        "    stated: [{seen: C2120, source: register}]\n",
        "option-outside-limits",
        "correct `from:` or `to:`",
        line=29,
        mend=((SWITCHES, "from: 1971-01", "from: 1968-06"),),
    ),
    M(COUPE, "built: 1968-07-03", "built: 1970-03-03", "built-outside-production", "correct the date of the car"),
    M(
        COUPE,
        "strays:",
        "dated cars:\n  - {car: C1500, built: 1969-05-01, source: ledger}\nstrays:",
        "dated-car-contradicts",
        "under `strays:`",
        line=19,
    ),
    M(
        INTERIORS,
        "share: 3 in 10,",
        "share: 3 in 10, counts: [{built: 3000, sure: fair}],",
        "count-too-high",
        "correct the count",
    ),
    M(
        INTERIORS,
        "share: 3 in 10,",
        "share: 3 in 10, counts: [{built: 400, sure: fair}, {surviving: 450, sure: poor}],",
        "more-survive-than-built",
        "correct one of the two counts",
        mend=((INTERIORS, "450", "45"),),
    ),
    M(
        INTERIORS,
        "share: rest,",
        "share: rest, counts: [{built: 3400, sure: fair}],",
        "counts-exceed-output",
        "correct the counts",
        line=2,
        besides=((INTERIORS, "share: 3 in 10,", "share: 3 in 10, counts: [{built: 400, sure: fair}],"),),
        mend=((INTERIORS, "3400", "3200"),),
    ),
    M(
        CSV,
        "dials,bright,seen,C2210,register,,right",
        "dials,bright,seen,C2210,register,,",
        "not-placed",
        "say which kind it is",
    ),
    M(
        SWITCHES,
        "      - {seen: C2110, source: register}",
        "      - {seen: C2110, source: register}\n      - {first: 1968-01/1969-12, source: register}",
        "bound-looser",
        "a closer date",
        line=25,
    ),
)

# A mark of one form, a time without any, periods that nothing tells apart.
_ASKED = (
    M(
        HORN,
        "",
        _horn("", ""),
        "one-form",
        "write 'ask: no'",
        line=1,
        besides=(_IN_AREA, _SPOT, _TERN),
        mend=((HORN, "  tern:", _PLAIN + "  tern:"), _BARE),
    ),
    M(
        HORN,
        "",
        _horn("ask: no\n", ""),
        "one-form-shown",
        "a second form",
        line=1,
        besides=(_IN_AREA, _SPOT, _TERN),
        mend=((HORN, "  tern:", _PLAIN + "  tern:"), _BARE),
    ),
    M(
        HORN,
        "",
        _horn(
            "",
            "    stated: [{last: C1100, source: parts-list}]\n"
            + _PLAIN
            + "    stated: [{first: C4000, source: parts-list}]\n",
        ),
        "time-without-form",
        "state a first or a last",
        line=1,
        more=1,
        follows=("order-left-out",),
        besides=(_IN_AREA, _SPOT, _TERN, _BARE),
        mend=(
            (HORN, "last: C1100", "last: 1971-12"),
            (HORN, "first: C4000", "first: 1972-01"),
            (HORN, "forms:", "order: [tern, plain]\nforms:"),
        ),
    ),
    M(
        PERIODS,
        "from: 1969-01-01, to: 1972-10-20,",
        "from: 1969-01-01, to: 1971-12-31,",
        "periods-not-told-apart",
        "make the two one period",
        line=3,
        besides=(
            (
                PERIODS,
                'Rockers, and reel belts."}\n',
                'Rockers, and reel belts."}\n'
                "last: {name: Last, from: 1972-01-01, to: 1972-10-20, summary: The last.}\n",
            ),
        ),
    ),
)

# Cars seen.
_AGAIN = "car,seen on,untouched,switches,dials,belts\n"
_CARS = (
    M(
        SEEN,
        "right,black-vinyl,yes,toggle",
        "right,black-vinyl,yes,rocker",
        "car-seen-contradicts",
        "look at that car again",
        line=23,
        at=SWITCHES,
    ),
    M(
        SEEN,
        "C2310,2026-06-14,right,black-vinyl,,rocker,bright,static",
        "C2310,2026-06-14,right,black-vinyl,,rocker,bright,reel",
        "car-seen-differs",
        "not own",
        line=17,
        at=BELTS,
    ),
    M(
        JUNE,
        "",
        _AGAIN + "C2310,2026-06-14,,toggle,,\n",
        "observers-disagree",
        "look again",
        line=2,
        mend=((JUNE, "toggle", "rocker"),),
    ),
    M(
        JUNE,
        "",
        _AGAIN + "C2310,2026-09-01,,,,reel\n",
        "looks-differ",
        "correct the line",
        line=2,
        more=1,
        mend=((JUNE, "reel", "static"),),
    ),
    M(
        JUNE,
        "",
        "car,seen on,hand,interior,untouched,switches,dials,belts\nC1210,2026-06-14,right,black-vinyl,"
        "yes,toggle,bright,static\n",
        "lines-repeated",
        "take the sheet out",
        line=2,
        mend=((JUNE, "2026-06-14", "2026-06-15"),),
    ),
)

# Texts and pictures.


def _picture(kind: str) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (8, 8), "white").save(made, kind)
    return made.getvalue()


def _vast() -> bytes:
    header = struct.pack(">IIBBBBB", 12000, 9000, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b""))
    parts = (struct.pack(">I", len(d)) + k + d + struct.pack(">I", zlib.crc32(k + d)) for k, d in chunks)
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


_LISTS = "\n".join(f"{'  ' * n}- x" for n in range(25))
_FREE = (GUIDE, "licence: CC-BY-SA-4.0\n", "")
_IN_TEXT = ("about.md", "A small guide", "![A push](horn.jpg) A small guide")
_SHOWN = (
    M("about.md", "A small guide, to be spoilt in a hundred ways.", _LISTS, "text-too-deep", "take levels out", line=1),
    M("pictures/horn.jpg", "", _vast(), "picture-too-large", "save it smaller", line=1, besides=(_FREE, _IN_TEXT)),
    M(
        "pictures/horn.jpg",
        "",
        _picture("PNG"),
        "picture-misnamed",
        "rename it to horn.png",
        line=1,
        besides=(_FREE, _IN_TEXT),
    ),
    M(
        "pictures/horn.jpg",
        "",
        _picture("JPEG"),
        "picture-without-credit",
        "'credit:'",
        line=13,
        at=DIALS,
        besides=(
            (
                DIALS,
                "    name: Bright rim\n",
                "    name: Bright rim\n    pictures: [{file: horn.jpg, describes: A rim}]\n",
            ),
        ),
        mend=((DIALS, "describes: A rim", "describes: A rim, credit: The club"),),
    ),
    M(
        DIALS,
        "name: Bright rim",
        "name: " + "Bright rim round all of it, " * 9,
        "sheet-entry-too-long",
        "shorten the answer",
        line=11,
    ),
)
WORKED_OUT = (*_KNOWN, *_ASKED, *_CARS, *_SHOWN)
