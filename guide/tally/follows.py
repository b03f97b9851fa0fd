"""Which of its cars' numbers a change follows, where they have several: the kind by which fewest cars are out of place.

Theory
------
Were a change made as cars took their numbers of one kind, then by those numbers every car of the old form would come
before every car of the new one. By any other kind the two are mixed. So of each kind we count how many cars are out of
place at the best single cut, within each kind of car that changed at its own time and each series of numbers: over the
cars that bear every kind compared, so that the same cars speak for all, or, where those do not show both forms, over
the cars of each kind. Where these do not show both either, or two kinds do equally well, nothing is concluded.

Cars are those stated as seen, and cars seen that are believed untouched. A first or last by number makes its kind one
of those compared.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from guide.facts.types import CarNumber, Mark, Scope, StatementKind
from guide.limits.courses import courses_of
from guide.limits.held import scope_of_car
from guide.limits.moments import Moments
from guide.limits.scopes import Dimensions
from guide.limits.types import LimitsResult

__all__ = ["Follows", "Misplaced", "follows_of", "least_out_of_place"]


class Misplaced(NamedTuple):
    """Of a kind of number, how many of the cars are out of place by it."""

    kind: str
    out: int
    of: int


@dataclass(frozen=True, slots=True)
class Follows:
    """A change told by several kinds of number: the kind that it follows, None where that cannot be told."""

    old: str
    new: str
    kind: str | None
    places: tuple[Misplaced, ...]  # the kinds compared, the fewest out of place first; none where no cars can tell


class _Car(NamedTuple):
    """A car with a form: the positions of its numbers by kind, each with its series, and what is certain of it."""

    form: str
    at: dict[str, tuple[str, int]]
    scope: Scope | None


def least_out_of_place(later: Sequence[bool]) -> int:
    """Return how many of some cars, in order of their numbers, are out of place at the best cut between earlier and
    later ones."""
    out = best = sum(not one for one in later)  # all taken for later
    for one in later:
        out += 1 if one else -1
        best = min(best, out)
    return best


def follows_of(limits: LimitsResult, dimensions: Dimensions, mark: Mark) -> tuple[Follows, ...]:
    """Return each change of a mark that is told by several kinds of number; none for a guide with one kind."""
    moments = limits.moments
    if not moments.guide.further_numbers:
        return ()
    cars, named = list(_cars(moments, dimensions, mark)), list(_named(moments, mark))
    pairs: defaultdict[tuple[str, str], list[Scope]] = defaultdict(list)
    for course in courses_of(limits, mark):
        for before, after in pairwise(course.spells):
            pairs[before.form, after.form] += [course.scope, *course.also]
    in_order = dict.fromkeys(line.series.kind for line in moments.every.values())
    found = []
    for (old, new), scopes in pairs.items():
        told = [car for car in cars if car.form in (old, new)]
        told_by = {kind for car in told for kind in car.at} | {kind for form, kind in named if form in (old, new)}
        kinds = [kind for kind in in_order if kind in told_by]
        if len(kinds) > 1:
            found.append(_follows(old, new, scopes, told, kinds))
    return tuple(found)


def _cars(moments: Moments, dimensions: Dimensions, mark: Mark) -> Iterator[_Car]:
    for said in mark.statements:
        if said.kind is StatementKind.SEEN and said.when is not None and said.when.car is not None:
            scope = dimensions.close(said.scope, dimensions.of_car(said.when.car))
            if dimensions.assembly_of(scope) is None:
                yield _Car(said.form, _positions(moments, [said.when.car]), scope)
    for car in moments.guide.cars_seen:
        scope = scope_of_car(dimensions, car)
        for report in car.reports if car.untouched and dimensions.assembly_of(scope) is None else ():
            if report.mark == mark.id and report.kind == "form" and report.own is not False:
                yield _Car(report.forms[0], _positions(moments, car.numbers), scope)


def _named(moments: Moments, mark: Mark) -> Iterator[tuple[str, str]]:
    """Yield the form and the kind of number of each first or last by number."""
    for said in mark.statements:
        meant = None if said.when is None else moments.car(said.when)
        if meant is not None and said.when is not None and said.when.car is not None:
            yield said.form, meant.line.series.kind


def _positions(moments: Moments, numbers: Sequence[CarNumber]) -> dict[str, tuple[str, int]]:
    """Return the positions of numbers by kind, each with its series; a stray's says nothing."""
    found = {}
    for number in numbers:
        line = moments.every.get(number.series)
        position = None if line is None else line.position(number)
        if line is not None and position is not None and position not in line.strays:
            found[line.series.kind] = number.series, position
    return found


def _follows(old: str, new: str, scopes: Sequence[Scope], cars: Sequence[_Car], kinds: Sequence[str]) -> Follows:
    """Return what a change follows among several kinds of number."""
    both = {old, new}
    of_all = [car for car in cars if len(car.at) == len(kinds)]
    by_kind = {
        kind: of_all if {car.form for car in of_all} == both else [car for car in cars if kind in car.at]
        for kind in kinds
    }
    if any({car.form for car in told} != both for told in by_kind.values()):
        return Follows(old, new, None, ())
    out = (Misplaced(kind, _out_of_place(told, scopes, kind, new), len(told)) for kind, told in by_kind.items())
    places = tuple(sorted(out, key=lambda one: one.out / one.of))
    best, next_best = (one.out / one.of for one in places[:2])
    return Follows(old, new, places[0].kind if best < next_best else None, places)


def _out_of_place(cars: Sequence[_Car], scopes: Sequence[Scope], kind: str, new: str) -> int:
    """Return how many of some cars are out of place by a kind of number."""
    lines: defaultdict[tuple[Scope | None, str], list[tuple[int, bool]]] = defaultdict(list)
    for car in cars:
        series, position = car.at[kind]
        of = next((one for one in scopes if car.scope is not None and car.scope.within(one)), None)
        lines[of, series].append((position, car.form == new))
    return sum(least_out_of_place([later for _, later in sorted(line)]) for line in lines.values())
