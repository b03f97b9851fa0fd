"""How long limits take beside networkx on the same graph, in one run: prints ratios, tests nothing.

    python -m tests.benchmarks.limits [STATEMENTS]

An invented works of 60,000 cars over twenty years; marks of three forms each, ten true statements a mark (firsts
and lasts by number or month, cars seen), tolerance 20 cars. The reference is networkx's Bellman-Ford from the
origin and back to it on the network as it stands in the end. *The whole* is everything from a guide's facts to
its limits: the lines of numbers, the statements as ties with the rules (posing), inserting, the chains of what
is refused, both limit passes. Inventing the works is the benchmark's own labour and stands apart, as does making
networkx's graph. Times are of the processor, so that other work on the machine does not count, and without Python's
search for circles of objects, on either side: commands that run once go without it, too. The last line
fits the growth of heap operations from 10,000 to 40,000 statements: operations = c * statements ** exponent.
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from heapq import heappop, heappush
from math import log
from typing import NamedTuple, TypeVar
from unittest.mock import patch

import networkx

from guide.facts.types import Guide, Mark, Statement, When
from guide.limits import network
from guide.limits.build import ORIGIN
from guide.limits.moments import Moments
from guide.limits.positions import series_lines
from guide.limits.solve import Inserted, TemporalProblem, insert_claims, pose
from tests.limits import sketch
from tests.limits.sketch import by_end, car, mark, of, on, run, say, series

Result = TypeVar("Result")
CARS, YEARS = 60_000, 20
FIRST = date(1950, 1, 1)
TRUSTS = ("ledger", "list", "register", "letter")


def works(statements: int, clashes: int, seed: int = 1) -> Guide:
    """Return a guide with so many true statements, and so many cars seen where they cannot be."""
    chance = random.Random(seed)
    months = [date(FIRST.year + at // 12, at % 12 + 1, 1) for at in range(YEARS * 12)]
    last_by = [round(CARS * (at + 1) / len(months)) for at in range(len(months))]
    calendar = [
        by_end(on(month.isoformat()[:7]), car(100_000 + count)) for month, count in zip(months, last_by, strict=True)
    ]
    line = series([run(100_001, 100_000 + CARS)], calendar, written=("C######",), out_of_order=20)
    marks = [_mark(at, chance) for at in range(statements // 10)]
    for at in range(clashes):
        where = at * len(marks) // max(clashes, 1)
        marks[where] = _with_clash(marks[where])
    end = date(FIRST.year + YEARS, 1, 1) - timedelta(days=1)
    made = sketch.production(FIRST.isoformat(), end.isoformat())
    return sketch.guide(marks, [line], made)


def _month_of(position: int) -> str:
    at = min(position * YEARS * 12 // CARS, YEARS * 12 - 1)
    return f"{FIRST.year + at // 12}-{at % 12 + 1:02}"


def _mark(at: int, chance: random.Random) -> Mark:
    """Return a mark whose three forms change at two places, with ten true statements."""
    one, two = sorted(chance.sample(range(600, CARS - 600), 2))
    if two - one < 300:
        two = min(CARS - 300, one + 300)
    spans = {"a": (0, one), "b": (one, two), "c": (two, CARS - 1)}
    name = f"m{at}"
    said: list[Statement] = []

    def add(kind: str, when: When, form: str) -> None:
        said.append(say(kind, when, form=form, mark=name, source=chance.choice(TRUSTS), line=len(said) + 1))

    add("first", of(car(100_001 + one)), "b")
    add("first", on(_month_of(two)), "c")
    if chance.random() < 0.5:
        add("last", of(car(100_000 + one)), "a")
    while len(said) < 10:
        form = chance.choice("abc")
        low, high = spans[form]
        add("seen", of(car(100_001 + chance.randrange(low, max(high, low + 1)))), form)
    return mark(said, ("a", "b", "c"), name=name)


def _with_clash(old: Mark) -> Mark:
    """Return a mark with a car seen twenty years before its form."""
    seen = say("seen", of(car(100_002)), form="c", mark=old.id, source="letter", line=99)
    return replace(old, statements=(*old.statements, seen))


def timed(work: Callable[[], Result]) -> tuple[float, Result]:
    """Return the seconds of the processor that some work takes, and what it returns."""
    began = time.process_time()
    result = work()
    return time.process_time() - began, result


def posed(guide: Guide) -> TemporalProblem:
    """Return the network of a guide with its rules in, and its statements as ties."""
    return pose(Moments(guide, series_lines(guide)))


class Spent(NamedTuple):
    """The seconds of each part of the whole, and what came of it."""

    posing: float
    inserting: float  # with the chains of what is refused
    passes: float
    inserted: Inserted

    @property
    def whole(self) -> float:
        """The seconds from the facts to the limits."""
        return self.posing + self.inserting + self.passes


def spent_on(guide: Guide) -> Spent:
    """Work out all limits of a guide and return what each part took."""
    posing, problem = timed(lambda: posed(guide))
    inserting, inserted = timed(lambda: insert_claims(problem))
    held = inserted.network
    passes, _ = timed(lambda: (held.latest_from(ORIGIN), held.earliest_from(ORIGIN)))
    return Spent(posing, inserting, passes, inserted)


def main(statements: int = 20_000) -> None:
    """Print the ratios."""
    gc.disable()
    inventing, guide = timed(lambda: works(statements, 0))
    clean = spent_on(guide)
    held = clean.inserted.network
    graph = networkx.DiGraph()
    for tie in held.ties:
        known = graph.get_edge_data(tie.tail, tie.head, {"weight": tie.weight})["weight"]
        graph.add_edge(tie.tail, tie.head, weight=min(known, tie.weight))
    back = graph.reverse()
    reference, _ = timed(
        lambda: (
            networkx.single_source_bellman_ford_path_length(graph, ORIGIN),
            networkx.single_source_bellman_ford_path_length(back, ORIGIN),
        )
    )
    mixed = spent_on(works(statements, 20))
    print(f"{statements} statements, {len(held.potential)} points, {len(held.ties)} ties")
    print(f"networkx, Bellman-Ford both ways: {reference:.2f} s")
    print(f"inventing the works, in no ratio: {inventing:.2f} s")
    print(f"both limit passes: {clean.passes:.2f} s, {clean.passes / reference:.2f} of networkx (wanted: 0.50 at most)")
    for spent, wanted in ((clean, 0.4), (mixed, 1.5)):
        clashes = len(spent.inserted.refused)
        print(
            f"the whole, {clashes or 'no'} clashes: {spent.whole:.2f} s, "
            f"{spent.whole / reference:.2f} of networkx (wanted: {wanted:.2f} at most)"
        )
        print(
            f"  posing {spent.posing:.2f} s, inserting{' and chains' if clashes else ''} "
            f"{spent.inserting:.2f} s, both passes {spent.passes:.2f} s"
        )
    few, many = (_operations(count) for count in (10_000, 40_000))
    print(f"heap operations {few} and {many}: exponent {log(many / few) / log(4):.3f} (wanted: 1.15 at most)")


def _operations(statements: int) -> int:
    """Return how often a heap is pushed to or popped from while a guide of so many statements is worked out."""
    guide, done = works(statements, 0), 0

    def counted(work: Callable[..., Result]) -> Callable[..., Result]:
        def count(*arguments: object) -> Result:
            nonlocal done
            done += 1
            return work(*arguments)

        return count

    with patch.multiple(network, heappush=counted(heappush), heappop=counted(heappop)):
        held = insert_claims(posed(guide)).network
        held.latest_from(ORIGIN)
        held.earliest_from(ORIGIN)
    return done


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
