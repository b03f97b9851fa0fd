"""Dated cars and runs without an end in the network, held against linear programming on the same inequalities.

The oracle knows nothing of positions that are in use, of potentials or of shortest ways: it writes every car of the
series as a variable, every paper as inequalities in days, and asks scipy's solver (HiGHS) for the least and the
greatest day of one car. Source of the inequalities: the design of this project (a car stands up to so many places from
its turn).
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from typing import Any, NamedTuple

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from guide.facts.records.runs import known_ends
from guide.facts.records.series import read_series
from guide.facts.text.desk import Desk
from guide.facts.text.source import compose
from guide.facts.types import Series
from guide.limits.derive import derive_limits
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine, series_lines
from guide.limits.types import day_of
from tests.conftest import reference_library
from tests.limits import sketch
from tests.limits.sketch import car, mark, of, say
from tests.told import ENGLISH

BEGAN, DAYS = date(1960, 1, 1), 120
ENDED = BEGAN + timedelta(days=DAYS - 1)


class Papers(NamedTuple):
    """What the papers say: firsts of runs, "last by the end of a day", cars with their days, the usual disorder."""

    firsts: tuple[int, ...]
    calendar: tuple[tuple[int, int], ...]  # day counted from the first of production, number
    dated: tuple[tuple[int, int, int], ...]  # number, first and last day
    disorder: int
    asked: int  # the car whose limits are asked for

    @property
    def typed(self) -> str:
        """The series as an editor types it."""

        def on(day: int) -> str:
            return (BEGAN + timedelta(days=day)).isoformat()

        runs = ", ".join(f"{{from: C{first}}}" for first in self.firsts)
        lines = "".join(f"  {on(day)}: C{number}\n" for day, number in self.calendar)
        cars = "".join(f"  - {{car: C{number}, built: {on(low)}/{on(high)}}}\n" for number, low, high in self.dated)
        return (
            f'name: Closed\nbody: closed car\nwritten: "C####"\nruns: [{runs}]\nout of order: {self.disorder}\n'
            + (f"built by:\n{lines}" if lines else "")
            + (f"dated cars:\n{cars}" if cars else "")
        )


@st.composite
def papers(draw: st.DrawFn) -> Papers:
    numbers = st.integers(1001, 1040)
    lines = sorted(draw(st.dictionaries(st.integers(5, DAYS - 2), numbers, max_size=3)).items())
    rising = [(day, number) for at, (day, number) in enumerate(lines) if all(number > one for _, one in lines[:at])]
    dated = []
    for number in draw(st.lists(numbers, unique=True, max_size=4)):
        low = min(max(3 * (number - 1001) + draw(st.integers(-15, 15)), 0), DAYS - 1)  # mostly about its turn
        dated.append((number, low, min(low + draw(st.sampled_from([0, 0, 6])), DAYS - 1)))
    firsts = tuple(sorted({1001, *draw(st.lists(st.integers(1002, 1030), max_size=2))}))
    return Papers(firsts, tuple(rising), tuple(dated), draw(st.integers(0, 3)), draw(numbers))


def series_of(said: Papers) -> Series:
    node, _ = compose(said.typed, "numbers/c.yml")
    assert node is not None
    desk = Desk()
    made = read_series("c", node, desk)
    assert made is not None
    assert [one.printed(ENGLISH) for one in desk.findings] == []
    return known_ends(made, [car(said.asked)])


class Oracle:
    """Every car of the series and its papers as a linear program, in days; inequalities are rows of ``A x <= b``."""

    def __init__(self, said: Papers, known: int) -> None:
        self.said, self.cars = said, known - 1001 + 1
        self.size = self.cars + 1 + len(said.dated)  # nominal times, the car asked for, the dated cars
        self.rows: list[dict[int, float]] = []
        self.limits: list[float] = []
        for at in range(self.cars - 1):
            self._no_later(at, at + 1)
        self._in_turn(self.cars, said.asked - 1001)
        for day, number in said.calendar:
            at = number - 1001
            self._bound(at, high=day + 1)
            if at + 1 < self.cars:
                self._bound(at + 1, low=day + 1)

    def _no_later(self, one: int, other: int) -> None:
        self.rows.append({one: 1.0, other: -1.0})
        self.limits.append(0.0)

    def _bound(self, at: int, low: float | None = None, high: float | None = None) -> None:
        if high is not None:
            self.rows.append({at: 1.0})
            self.limits.append(high)
        if low is not None:
            self.rows.append({at: -1.0})
            self.limits.append(-low)

    def _in_turn(self, point: int, position: int) -> None:
        disorder = self.said.disorder
        self._no_later(max(position - disorder, 0), point)
        self._no_later(point, min(position + disorder, self.cars - 1))

    def _solve(self, wanted: dict[int, float]) -> float | None:
        numpy, optimize = reference_library("numpy"), reference_library("scipy.optimize")
        matrix = numpy.zeros((len(self.rows), self.size))
        for row, terms in enumerate(self.rows):
            for at, factor in terms.items():
                matrix[row, at] = factor
        costs = [wanted.get(at, 0.0) for at in range(self.size)]
        found: Any = optimize.linprog(costs, A_ub=matrix, b_ub=self.limits, bounds=(0, DAYS), method="highs")
        return float(found.fun) if found.status == 0 else None

    def admit(self, index: int) -> bool:
        """Add a dated car, unless it cannot be true beside what there is; tell which."""
        number, low, high = self.said.dated[index]
        kept = len(self.rows)
        point = self.cars if number == self.said.asked else self.cars + 1 + index
        self._in_turn(point, number - 1001)
        self._bound(point, low + 1e-6, high + 1 - 1e-6)  # a day has an inside: two days that only touch are not one
        if self._solve({}) is None:
            del self.rows[kept:], self.limits[kept:]
            return False
        return True

    def days(self) -> tuple[int, int]:
        """Return the first and the last day on which the car asked for can have been built."""
        low, high = self._solve({self.cars: 1.0}), self._solve({self.cars: -1.0})
        assert low is not None
        assert high is not None
        return math.floor(low + 1e-4), math.ceil(-high - 1e-4) - 1


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(papers())
def test_dated_cars_and_runs_without_an_end_give_the_days_that_linear_programming_gives(said: Papers) -> None:
    series = series_of(said)
    named = [said.asked, *said.firsts, *(one for _, one in said.calendar), *(one[0] for one in said.dated)]
    oracle = Oracle(said, max(named))
    made = sketch.production(BEGAN.isoformat(), ENDED.isoformat())
    guide = sketch.guide([mark([say("seen", of(car(said.asked)))])], [series], made)
    assert SeriesLine(series, made, ()).cars == oracle.cars
    refused = [index for index in range(len(said.dated)) if not oracle.admit(index)]
    result = derive_limits(guide)
    told = [one.place.line for one in result.findings if one.code == "dated-car-contradicts"]
    first_line = said.typed[: said.typed.find("dated cars:")].count("\n") + 2
    assert told == [first_line + index for index in refused]
    spell = next(one for one in result.spells if one.form == "a")
    found = day_of(spell.last.earliest, BEGAN), day_of(spell.first.latest, BEGAN)
    assert tuple((day - BEGAN).days for day in found) == oracle.days()


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(papers())
def test_no_number_is_spread_to_days_that_the_network_rules_out_for_it(said: Papers) -> None:
    """The even build goes through every dated car that can stand, and stays within what the papers allow each place."""
    series = series_of(said)
    guide = sketch.guide([mark(())], [series], sketch.production(BEGAN.isoformat(), ENDED.isoformat()))
    line = Moments(guide, series_lines(guide)).lines["c"]
    days = [line.day_at(at) for at in range(line.cars)]
    assert days == sorted(days)
    for one in line.anchors:
        assert line.days_at(one.position) == (one.earliest, one.latest)
    for at in range(line.cars):
        if at not in line.own_days:
            low, high = line.days_at(at)
            assert low <= line.day_at(at) <= high
