"""The changeover band: the whole build as one strip, its forms numbered as on their plate, one slope between two.

A slope runs from the first car with the new form (at the foot) to the last with the old (at the head), so its
height is the share fitted; where a share is stated, it is level at that height. Both are known only within limits; the
middle of each is drawn, and short ticks give the bounds. Where they lie far apart, or nobody says when the old form
ended, one fades into the other. A form is filled by its place on the plate: blank, then with lines ever closer, so
that paper, which has no tint, tells them apart as well. A stoppage is a break in the strip.

The strip runs along days, or along the numbers of one series where nothing dates them: places on it are whole
numbers either way, days counted from the first of the calendar (`date.toordinal`) or positions of the series.

The drawing is fluid: places are percentages of its width and letters keep their size, so one drawing serves a
phone, a desk and paper. A name, date or period that has no room on one of them in the widest of faces is marked
`not-phone`, `not-desk`, `not-wide` or `not-paper`, and the style sheet leaves it out there. Only attributes are
used, never a `style`, because pages allow none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from itertools import pairwise

from guide.pages.parts.strips import YEARS, DrawnSpell, Strip, middle, name_rooms, slope

__all__ = ["FILLS", "PITCHES", "drawn_strip", "names_fit", "render_axis", "render_band", "render_fades", "render_years"]

FILLS = 4  # ways of filling a form: blank, and the patterns `order-2` to `order-4` that the page supplies
PITCHES = (10, 6, 3)  # how far apart the lines of these patterns are, in pixels
_VAGUE = 0.05  # of the strip: limits farther apart than this, three months of five years, say no more than about when
_FADES = 6  # steps in which one form gives way to the next where nobody knows when

_HEAD, _DEEP = 26, 40  # heights in pixels: labels, the strip
_ROW_HEAD, _ROW_DEEP = 6, 28  # of a strip in a stack of strips
_ABOVE = 14  # how much higher such a strip is where a number stands above it, and the size of that number
_HALO = 7  # the pixels that letters clear around themselves: so a number alone hides no edge
_LETTER, _LABEL_LETTER = 0.54, 0.62  # widths of a letter in DejaVu, the widest face, in ems
_LABEL_PIXELS = {"phone": 13.0, "desk": 15.0, "wide": 15.0, "paper": 11.3}  # the size of dates, years and periods
_BANDS = (  # where a band is shown, how narrow at the least, its names' size
    ("phone", 254.0, 19.0),
    ("desk", 759.0, 19.0),
    ("wide", 1094.0, 19.0),
    ("paper", 680.0, 12.7),
)
_ROWS = (("phone", 254.0, 15.0), ("desk", 399.0, 15.0), ("wide", 734.0, 15.0), ("paper", 432.0, 11.3))


def render_band(strip: Strip, spells: Sequence[DrawnSpell], label: str, *, row: bool = False, axis: bool = True) -> str:
    """Return the band of one mark in one scope as SVG.

    ``row`` makes it one of a stack, without years, periods and dates, on a page that holds `render_fades`; ``axis``
    False leaves out years and periods where another band stands right below.
    """
    deep = _ROW_DEEP if row else _DEEP
    head = (_ROW_HEAD if _numbers_fit(strip, spells) else _ROW_HEAD + _ABOVE) if row else _HEAD
    height = head + deep + (_ROW_HEAD if row or not axis else strip.below)
    parts = [_strip(strip, spells, head, deep, shared=row)]
    parts += _names(strip, spells, head, deep, row=row)
    if not row:
        parts += _dates(strip, spells, head)
        parts += _axis(strip, head + deep, _BANDS) if axis else []
    kind = "band row" if row else "band"
    return (
        f'<svg class="{kind}" width="100%" height="{height}" role="img" aria-label="{escape(label)}">'
        f"{''.join(parts)}</svg>"
    )


def render_axis(strip: Strip) -> str:
    """Return the years and periods, or the numbers, that stand once above a stack of bands."""
    return (
        f'<svg class="band axis" width="100%" height="{strip.below}" aria-hidden="true">'
        f"{''.join(_axis(strip, 0, _ROWS))}</svg>"
    )


def render_fades() -> str:
    """Return the ways in which one form fades into another along a stack of bands, each drawn once, `_FADES` wide."""
    fills = range(1, FILLS + 1)
    return "".join(
        f'<g id="fade-{old}-{new}">{"".join(_steps(old, new, 0, _FADES, _ROW_DEEP))}</g>'
        for old in fills
        for new in fills
        if old != new
    )


def render_years(strip: Strip) -> str:
    """Return the lines that lead the years down through a stack of bands."""
    lines = "".join(
        _upright("year-line", strip.share(first) * 100, 0, 100).replace('y2="100"', 'y2="100%"')
        for _, first, _ in strip.stretches
        if first > strip.first
    )
    return f'<svg class="through" width="100%" height="100%" aria-hidden="true">{lines}</svg>'


def _strip(strip: Strip, spells: Sequence[DrawnSpell], head: int, deep: int, *, shared: bool) -> str:
    """The strip itself, stretched to the width, with the ticks of its limits."""
    drawn = drawn_strip(strip, spells, deep, shared=shared) + _bounds(strip, spells, deep)
    return (
        f'<svg y="{head}" width="100%" height="{deep}" viewBox="0 0 1000 {deep}" preserveAspectRatio="none">'
        f"{drawn}</svg>"
    )


def drawn_strip(strip: Strip, spells: Sequence[DrawnSpell], deep: int, *, shared: bool = False) -> str:
    """Return fills, slopes, frame and breaks of a strip in a box of a thousand by ``deep``.

    ``shared``: how one form fades into another is drawn once for all of a page, by `render_fades`.
    """
    start = strip.share(spells[0].first[0]) * 1000 if spells else 0.0
    end = strip.share(spells[-1].last[1], after=True) * 1000 if spells else 1000.0
    parts = []
    for at, spell in enumerate(spells):  # each is filled to the end, and the next over it, on leaf
        if at and spell.starts:
            parts += _turn(strip, spells[at - 1], spell, deep, end, shared=shared)
        elif spell.figure % FILLS != 1:
            parts.append(_filled(spell.figure, _box(start, end, deep)))
    parts.append(f'<path class="frame" d="{_box(start, end, deep)}"/>')
    for first, last in strip.breaks:
        a, b = strip.share(first) * 1000, strip.share(last, after=True) * 1000
        if b <= start or a >= end:
            continue
        parts.append(f'<path class="not" d="M{a:.1f} -2H{b:.1f}V{deep + 2}H{a:.1f}Z"/>')
        parts.append(f'<path class="frame" d="M{a:.1f} 0V{deep}M{b:.1f} 0V{deep}"/>')
    return "".join(parts)


def _box(left: float, right: float, deep: int) -> str:
    return f"M{_figure(left)} 0H{_figure(right)}V{deep}H{_figure(left)}Z"


def _figure(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _turn(strip: Strip, old: DrawnSpell, new: DrawnSpell, deep: int, end: float, *, shared: bool) -> list[str]:
    """Where one form gives way to the next: fading where nobody knows when, else along a slope."""
    foot, top = slope(strip, old, new)
    line, kind = f"M{_figure(foot)} {deep}L{_figure(top)} 0", "slope"
    if new.share is not None and top > foot:
        line = f"M{_figure(foot)} {deep}V{_figure(deep * (1 - new.share))}H{_figure(top)}V0"
    after = f"{line}H{_figure(end)}V{deep}Z"
    over = [f'<path class="soon" d="{after}"/>', _filled(new.figure, after)]
    fades = _fading(strip, old, new)
    if fades is not None:
        a, b = fades
        kind = "unsure"
        ways = [(one.figure - 1) % FILLS + 1 for one in (old, new)]
        over = [f'<path class="soon" d="{_box(a, end, deep)}"/>']
        if shared and ways[0] != ways[1]:
            place = f"translate({_figure(a)})scale({(b - a) / _FADES:.3f} 1)"
            over.append(f'<use href="#fade-{ways[0]}-{ways[1]}" transform="{place}"/>')
        else:
            over += _steps(old.figure, new.figure, a, b, deep)
        over.append(_filled(new.figure, _box(b, end, deep)))
    return [*over, f'<path class="{kind}" d="{line}"/>']


def _steps(old: int, new: int, a: float, b: float, deep: int) -> list[str]:
    """Return how one form fades into another between two places, step by step."""
    drawn = []
    for step in range(_FADES):
        left, right = (a + (b - a) * edge / _FADES for edge in (step, step + 1))
        share = (step + 0.5) / _FADES
        drawn += [_faint(old, left, right, deep, 1 - share), _faint(new, left, right, deep, share)]
    return drawn


def _faint(figure: int, left: float, right: float, deep: int, share: float) -> str:
    """Return a fill that is faint, line by line: of faint patterns a browser took seconds to print a page."""
    if (fill := (figure - 1) % FILLS) == 0:
        return ""
    pitch, wide = PITCHES[fill - 1], _figure(right - left)
    lines = "".join(f"M{_figure(left)} {_figure(y + pitch / 2)}h{wide}" for y in range(0, deep - pitch // 2, pitch))
    return (
        f'<path class="order-tint" fill-opacity="{share:.2f}" d="{_box(left, right, deep)}"/>'
        f'<path class="order-line" stroke-opacity="{share:.2f}" d="{lines}"/>'
    )


def _filled(figure: int, box: str) -> str:
    fill = (figure - 1) % FILLS + 1
    return f'<path fill="url(#order-{fill})" d="{box}"/>' if fill > 1 else ""


def _fading(strip: Strip, old: DrawnSpell, new: DrawnSpell) -> tuple[float, float] | None:
    """Return between which thousandths one form fades into the next; None where it is known well enough when."""
    limits = [strip.share(new.first[0]), strip.share(new.first[1])]
    if old.last_is_stated:
        limits += [strip.share(old.last[0], after=True), strip.share(old.last[1], after=True)]
        if max(limits[1] - limits[0], limits[3] - limits[2]) < _VAGUE:
            return None
    else:  # until when is not known: as long as an edge may be vague, and no longer than the new form is told of
        limits.append(min(limits[1] + _VAGUE, strip.share(new.last[1], after=True)))
    return min(limits) * 1000, max(limits) * 1000


def _kept_from(fits: Mapping[str, bool]) -> str:
    """Return the classes that leave a text out where it does not fit or is not meant, each after a space."""
    return "".join(f" not-{where}" for where, _, _ in _BANDS if not fits.get(where))


def _label_letter(where: str) -> float:
    """Return the width of a letter of dates, years and periods, in pixels."""
    return _LABEL_LETTER * _LABEL_PIXELS[where]


def _fits(words: str, room: float, size: float, beside: float = 12) -> bool:
    return room >= len(words) * _LETTER * size + beside


def names_fit(strip: Strip, spells: Sequence[DrawnSpell]) -> bool:
    """Tell whether a strip in a stack names all its forms itself on a phone."""
    _, width, size = _ROWS[0]
    rooms = name_rooms(strip, spells)
    return all(
        _fits(f"{one.figure} {one.name}", (b - a) * width, size)
        for one, ((a, b), *_) in zip(spells, rooms, strict=True)
    )


def _numbers_fit(strip: Strip, spells: Sequence[DrawnSpell]) -> bool:
    """Tell whether every stretch of a strip in a stack holds its form's number wherever the strip is shown."""
    return all(
        _fits(str(one.figure), (b - a) * width, size, _HALO)
        for one, sides in zip(spells, name_rooms(strip, spells), strict=True)
        for a, b in sides
        for _, width, size in _ROWS
    )


def _names(strip: Strip, spells: Sequence[DrawnSpell], head: int, deep: int, *, row: bool) -> list[str]:
    """Each form's number and name; its number alone where the name has no room, and beyond a stoppage.

    A number that has no room either stands above, with a line to its stretch; above a single band, whose dates stand
    there on wider pages, only on a phone.
    """
    parts = []
    shown = _ROWS if row else _BANDS
    free = {where: -float(_ABOVE) for where, _, _ in shown if row or where == "phone"}  # from which pixel on, above it
    rooms = zip(spells, name_rooms(strip, spells), strict=True)
    for spell, at, (left, right) in ((spell, at, side) for spell, sides in rooms for at, side in enumerate(sides)):
        place = f'x="{(left + right) * 50:.2f}%" y="{head + deep / 2 + 6:g}"'
        room, figure = right - left, f'<tspan class="figure">{spell.figure}</tspan>'
        words = f"{spell.figure} {spell.name}"
        named = {where: not at and _fits(words, room * width, size) for where, width, size in shown}
        either = {
            where: named[where] or _fits(str(spell.figure), room * width, size, _HALO) for where, width, size in shown
        }
        if any(named.values()):
            kept = _kept_from(named).strip()
            only = f' class="{kept}"' if kept else ""
            figure += f"<tspan{only}> {escape(spell.name)}</tspan>"
        if any(either.values()):
            parts.append(f'<text class="name{_kept_from(either)}" {place}>{figure}</text>')
        at_middle, half = (left + right) / 2, len(str(spell.figure)) * _LABEL_LETTER * _ABOVE / 2
        above = {
            where: where in free and not either[where] and at_middle * width - half >= free[where]
            for where, width, _ in shown
        }
        if any(above.values()):
            free |= {where: at_middle * width + half + 2 for where, width, _ in shown if above[where]}
            kept = _kept_from(above)
            number = f'<text class="above{kept}" x="{at_middle * 100:.2f}%" y="{head - 8}">{spell.figure}</text>'
            parts += [_upright(f"to-it{kept}", at_middle * 100, head - 6, head + 7), number]
    return parts


def _bounds(strip: Strip, spells: Sequence[DrawnSpell], deep: int) -> str:
    """Short ticks: below the strip where the first new car may stand, above it where the last old one may."""
    ticks = ""
    for at, spell in enumerate(spells):
        if at and spell.starts:
            ticks += _bracket(strip, spell.first, deep, 5, after=False)
        if at + 1 < len(spells) and spell.ends and spell.last_is_stated:
            ticks += _bracket(strip, spell.last, 0, -5, after=True)
    return f'<path class="tie" d="{ticks}"/>' if ticks else ""


def _bracket(strip: Strip, limits: tuple[int, int], edge: int, out: int, *, after: bool) -> str:
    a, b = (strip.share(day, after=after) * 1000 for day in limits)
    ticks = f"M{_figure(a)} {edge}v{out}"
    if b > a:
        ticks += f"H{_figure(b)}v{-out}" if b - a > 4 else f"M{_figure(b)} {edge}v{out}"
    return ticks


def _dates(strip: Strip, spells: Sequence[DrawnSpell], head: int) -> list[str]:
    """The dates of each changeover above the strip, the earlier to its left; those that would collide left out."""
    labels: list[tuple[float, bool, str]] = []  # where, whether it ends there, what
    for old, new in pairwise(spells):
        foot, top = (value / 1000 for value in slope(strip, old, new))
        last = old.last_says if old.last_is_stated else ""
        ended_first = middle(strip, old.last, after=True) < middle(strip, new.first)
        left, right = (last, new.first_says) if ended_first else (new.first_says, last)
        if left and left != right:
            labels.append((foot, True, left))
        if right:
            labels.append((top, False, right))
    kept: list[dict[str, bool]] = [{} for _ in labels]
    for where, width, _ in _BANDS[1:]:
        letter = _label_letter(where)
        free = 0.0  # the pixel from which the next label may start
        for at, (share, ends, says) in enumerate(labels):
            start = share * width - 6 - len(says) * letter if ends else share * width + 6
            kept[at][where] = start >= free and start + len(says) * letter <= width
            if kept[at][where]:
                free = start + len(says) * letter + (6 if ends else 10)
    return [
        f'<text class="date{_kept_from(fits)}" x="{share * 100:.2f}%" dx="{-6 if ends else 6}" y="{head - 10}"'
        f' text-anchor="{"end" if ends else "start"}">{escape(says)}</text>'
        for (share, ends, says), fits in zip(labels, kept, strict=True)
        if any(fits.values())
    ]


def _axis(strip: Strip, edge: int, shown: Sequence[tuple[str, float, float]]) -> list[str]:
    parts = []
    for name, first, last in strip.stretches:
        a, b = strip.share(first) * 100, strip.share(last, after=True) * 100
        if first > strip.first:
            parts.append(_upright("year-tick", a, edge, edge + 7))
        fits = {where: (b - a) / 100 * width >= len(name) * _label_letter(where) for where, width, _ in shown}
        if any(fits.values()):
            place = f'x="{(a + b) / 2:.2f}%" y="{edge + 21}" text-anchor="middle"'
            parts.append(f'<text class="year{_kept_from(fits)}" {place}>{escape(name)}</text>')
    top = edge + (YEARS if strip.stretches else 0)
    for at, (name, first) in enumerate(strip.marks):
        a = strip.share(first)
        nearest = strip.share(strip.marks[at + 1][1]) if at + 1 < len(strip.marks) else 1.0
        fits = {where: (nearest - a) * width >= len(name) * _label_letter(where) + 5 for where, width, _ in shown}
        parts.append(_upright("period-tick", a * 100, top + 4, top + 23))
        foot = f'x="{a * 100:.2f}%" dx="5" y="{top + 20}"'
        parts.append(f'<text class="period{_kept_from(fits)}" {foot}>{escape(name)}</text>')
    return parts


def _upright(kind: str, percent: float, top: float, foot: float) -> str:
    return f'<line class="{kind}" x1="{percent:.2f}%" x2="{percent:.2f}%" y1="{top:g}" y2="{foot:g}"/>'
