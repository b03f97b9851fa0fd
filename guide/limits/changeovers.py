"""When one form gave way to the next, on the axis that the evidence has: by number as stated, by day as far as known.

Theory
------
A number that a paper names, or that a car seen bears, says more than the days that a calendar makes of it, so it is
told as it stands; days are told beside it where something limits them. Whether both forms were fitted for a time is
judged by number where numbers give both the first of the new form and the last of the old, else by days: between
C1840 and C1841 there is no room, however many days either may have stood in the works.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate, pairwise
from sys import maxsize

from guide.facts.reads import remembered
from guide.facts.types import Mark
from guide.limits.courses import Course, courses_of, days_of, lines_of, series_days
from guide.limits.types import DatedSpell, LimitsResult
from guide.sentence import Value, all_of, one_of

__all__ = [
    "Moment",
    "Turn",
    "beside",
    "joint",
    "moment_of",
    "outlived",
    "places_of",
    "series_by_number",
    "share_stated",
    "turns_of",
]

APART_DAYS = 45  # a changeover further apart than this between kinds of car gets no one date


@dataclass(frozen=True, slots=True)
class Moment:
    """A spell's first or last in a course, as it can be told.

    ``car`` is the car as a paper names it, ``seen`` the nearest car seen; empty for none. ``days`` are its first and
    last day, None where nothing limits them within the time in which such cars were built at all. ``seen_days`` are
    those that the calendar allows the car seen, None where there are several or nothing dates them.
    """

    car: Value
    seen: Value
    days: tuple[date, date] | None
    seen_days: tuple[date, date] | None


def moment_of(result: LimitsResult, course: Course, spell: DatedSpell, end: str) -> Moment:
    """Return a spell's "first" or "last" in a course, as it can be told."""
    key = (id(course), id(spell), end)
    # The two are held with it, so that no others take their places.
    return remembered(result.known, key, lambda: (_moment(result, course, spell, end), course, spell))[0]


def _moment(result: LimitsResult, course: Course, spell: DatedSpell, end: str) -> Moment:
    lines = [*lines_of(result, course), *result.moments.further.values()]
    found = [(line, spell.by_number(end, line.series.id)) for line in lines]
    days = days_of(result, spell.first if end == "first" else spell.last)
    (opened, _), (_, closed) = series_days(result, course)
    known = days[0] > opened or days[1] < closed
    places = [(line, one.high if end == "first" else one.low) for line, one in found if one.seen != ""]
    seen_days = [line.days_at(at) for line, at in places if at is not None and line.is_dated]
    return Moment(
        _named(one_of, (one.says for _, one in found)),
        _named(all_of, (one.seen for _, one in found)),
        days if known else None,
        seen_days[0] if len(seen_days) == len(places) == 1 else None,
    )


def joint(moments: Sequence[Moment]) -> Moment:
    """Return one moment for several kinds of car that differ in their numbers alone."""
    return replace(
        moments[0],
        car=_named(one_of, (one.car for one in moments)),
        seen=_named(all_of, (one.seen for one in moments)),
        seen_days=moments[0].seen_days if len(moments) == 1 else None,
    )


def _named(join: Callable[[Iterable[Value]], Value], said: Iterable[Value]) -> Value:
    """Return what is said of each series, once; empty for nothing."""
    told = tuple(dict.fromkeys(one for one in said if one != ""))
    return join(told) if len(told) > 1 else next(iter(told), "")


def outlived(result: LimitsResult, course: Course, old: DatedSpell, new: DatedSpell) -> bool:
    """Tell whether a car was seen with the old form whose number comes after the new one's first, as stated."""
    for line in (*lines_of(result, course), *result.moments.further.values()):
        came, went = new.by_number("first", line.series.id), old.by_number("last", line.series.id)
        if came.says != "" and went.seen != "" and (went.low or 0) > (came.high or 0):
            return True
    return False


def beside(result: LimitsResult, course: Course, old: DatedSpell, new: DatedSpell) -> str:
    """Return whether "both" forms were fitted for a time, nothing lay between ("clean"), or "perhaps" both were.

    "_by_number" ends a verdict that numbers gave.
    """
    came, went = days_of(result, new.first), days_of(result, old.last)
    by_day = _beside([(came[0].toordinal(), came[1].toordinal(), went[0].toordinal(), went[1].toordinal())])
    known = [
        (new.by_number("first", line.series.id), old.by_number("last", line.series.id))
        for line in lines_of(result, course)
    ]
    by_number = _beside(
        [
            (
                -1 if first.low is None else first.low,
                maxsize if first.high is None else first.high,
                -1 if last.low is None else last.low,
                maxsize if last.high is None else last.high,
            )
            for first, last in known
        ]
    )
    stated = bool(known) and all(first.says != "" and last.says != "" for first, last in known)
    return f"{by_number}_by_number" if stated or by_number != "perhaps" else by_day


def share_stated(mark: Mark, old: tuple[str, int], new: tuple[str, int]) -> float | None:
    """Return the share of cars stated to have had the later of two spells, (form, number), while both were fitted."""
    stated = (one.share for one in mark.statements if (one.form, one.spell) in (old, new) and one.share is not None)
    return next(stated, None)


def _beside(spans: Sequence[tuple[int, int, int, int]]) -> str:
    """Return the verdict on the first and last place of the new form's first, and of the old form's last."""
    if spans and all(latest < earliest for _, latest, earliest, _ in spans):
        return "both"
    return "clean" if spans and all(latest < earliest for earliest, _, _, latest in spans) else "perhaps"


# The axis


def series_by_number(result: LimitsResult, course: Course) -> str:
    """Return the series along whose numbers a course is to be shown, empty for one that is shown along days.

    Along numbers, where more ends of its spells are stated by number than are placed by day within half of the time of
    the series or less; where nothing dates the numbers, as many are enough, or cars seen if nothing is placed by day.
    """
    lines = lines_of(result, course)
    if len(lines) != 1:
        return ""
    (line,) = lines
    (opened, _), (_, closed) = series_days(result, course)
    stated = seen = by_day = 0
    for spell in course.spells:
        for end in ("first", "last"):
            known, days = spell.by_number(end, line.series.id), moment_of(result, course, spell, end).days
            stated += known.says != "" and known.high != 0 and known.low != line.cars - 1
            seen += known.seen != ""
            by_day += days is not None and 2 * (days[1] - days[0]) <= closed - opened
    undated = not line.is_dated and (stated == by_day > 0 or (seen > 0 == by_day))
    return line.series.id if stated > by_day or undated else ""


def places_of(result: LimitsResult, course: Course, series: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Return the positions that each spell's first and last can have in a series, as far as numbers and order tell."""
    end = result.lines[series].cars - 1
    firsts = [spell.by_number("first", series) for spell in course.spells]
    lasts = [spell.by_number("last", series) for spell in course.spells]
    came = _in_order(
        [(0, 0) if not at and one.low is None else (one.low, one.high) for at, one in enumerate(firsts)], end
    )
    went = _in_order([(one.low, one.high) for one in lasts], end)
    return [
        ((low, high), (max(low, went_low), max(low, went_high)))
        for (low, high), (went_low, went_high) in zip(came, went, strict=True)
    ]


def _in_order(sides: Sequence[tuple[int | None, int | None]], end: int) -> list[tuple[int, int]]:
    """Return limits of moments that follow one another, those that nothing gives taken from their neighbours."""
    lows = list(accumulate((low or 0 for low, _ in sides), max))
    highs = list(accumulate((end if high is None else high for _, high in reversed(sides)), min))[::-1]
    return [(low, max(low, high)) for low, high in zip(lows, highs, strict=True)]


# One turn for all kinds of car


@dataclass(frozen=True, slots=True)
class Turn:
    """One form giving way to the next on every car: the new one's first car in each series, as stated, and its days.

    The days are the middles of what is known, the earliest and the latest of them over the kinds of car; None where
    no day is known of some kind of car.
    """

    cars: tuple[Value, ...]
    days: tuple[date, date] | None

    @property
    def way(self) -> str:
        """By what it is told: "cars", "days" or, where both are known, "cars_days"."""
        return "cars" if self.days is None else "cars_days" if self.cars else "days"


def turns_of(result: LimitsResult, mark: Mark) -> dict[tuple[str, str], Turn]:
    """Return when one form gave way to the next, by both ids, where that was so on every car.

    Cars are named where each kind of car has one stated.
    """
    return remembered(result.known, (turns_of, mark.id), lambda: _turns(result, mark))


def _turns(result: LimitsResult, mark: Mark) -> dict[tuple[str, str], Turn]:
    found: dict[tuple[str, str], list[Moment]] = {}
    for course in courses_of(result, mark):
        for old, new in pairwise(course.spells):
            found.setdefault((old.form, new.form), []).append(moment_of(result, course, new, "first"))
    turns = {pair: _turn(moments) for pair, moments in found.items() if (pair[1], pair[0]) not in found}
    return {pair: turn for pair, turn in turns.items() if turn is not None}


def _turn(moments: Sequence[Moment]) -> Turn | None:
    """Return one turn for kinds of car that changed together, None where they did not or nothing is known."""
    cars = tuple(dict.fromkeys(one.car for one in moments)) if all(one.car != "" for one in moments) else ()
    days = [one.days[0] + (one.days[1] - one.days[0]) / 2 for one in moments if one.days is not None]
    if len(days) < len(moments):
        return Turn(cars, None) if cars else None
    return Turn(cars, (min(days), max(days))) if (max(days) - min(days)).days <= APART_DAYS else None
