"""Two hundred clashes planted in the demo guide, each found, explained and undone again.

Three kinds: a car seen beyond a stated last or before a stated first; and a chain through one to four new marks,
tied to one another by `before`, `after` and `together with`, by the coverage rule and by cars in order of number,
so that no two statements of it contradict each other. Seeds are fixed.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import combinations
from typing import Any, NamedTuple

import pytest

from guide.facts.types import FormRef, Guide, Scope, Statement, StatementKind, Trust, When, WhenKind
from guide.finding import Place, Severity
from guide.limits.derive import derive_limits
from guide.limits.network import Tie
from guide.limits.positions import SeriesLine, series_lines
from guide.limits.rulings import standing_statements
from guide.limits.solve import Problem, Solved, insert_claims, pose, solve
from guide.limits.types import day_of
from tests.limits import sketch

SEEN, CHAINS = 100, 100


class Planted(NamedTuple):
    """A guide with a clash in it, and the planted statements by mark and index."""

    guide: Guide
    statements: frozenset[tuple[str, int]]
    chain_marks: int


@cache
def every_day(line: SeriesLine) -> list[tuple[date, date]]:
    """The days that the calendar allows each car of a series."""
    return [line.days_at(position) for position in range(line.cars)]


def with_statements(guide: Guide, mark: str, more: list[Statement]) -> Guide:
    """The guide with statements added to one of its marks."""
    old = guide.marks[mark]
    marks = dict(guide.marks) | {mark: replace(old, statements=(*old.statements, *more))}
    return replace(guide, marks=marks)


def a_seen_car(guide: Guide, lines: dict[str, SeriesLine], solved: Solved, chance: random.Random) -> Planted:
    """Plant a car seen after the latest last, or before the earliest first, of a spell in one cell."""
    builder = solved.problem.builder
    keys = [key for key in builder.ends if builder.only_line(builder.cells[key.mark][key.cell]) is not None]
    while True:
        key = chance.choice(keys)
        cell = builder.cells[key.mark][key.cell]
        line = lines[cell.series[0]]
        late = chance.random() < 0.5
        ends = builder.ends[key]
        edge = day_of(solved.latest_of(ends.last) if late else solved.earliest_of(ends.first),
                      guide.production.first)
        fitting = [at for at, days in enumerate(every_day(line)) if (days[0] > edge if late else days[1] < edge)]
        if not fitting:
            continue
        number = line.car_at(chance.choice(fitting))
        place = Place(f"marks/{key.mark}.yml", 900, 1)
        scope = Scope(tuple(part for part in cell.scope.parts if part[0] != "series"))
        seen = Statement(kind=StatementKind.SEEN, mark=key.mark, form=key.form, spell=key.spell, scope=scope,
                         when=When(WhenKind.CAR, number.written, place, car=number), source="foreman", place=place)
        planted = with_statements(guide, key.mark, [seen])
        return Planted(planted, frozenset({(key.mark, len(planted.marks[key.mark].statements) - 1)}), 0)


def a_chain(guide: Guide, lines: dict[str, SeriesLine], chance: random.Random) -> Planted:
    """Plant new marks whose firsts are tied to one another, from a last by number to a first too far on.

    The first mark's old form ends at a car; by the coverage rule its new form comes within 90 days; each new form
    after that is before (or with, or the next after) the one before; the last of them is seen no earlier than a car
    more than that beyond.
    """
    line = lines[chance.choice(("coupe", "open"))]
    count = chance.randint(1, 4)
    names = [f"planted-{number}" for number in range(count)]
    stated: list[list[Statement]] = [[] for _ in names]
    trusts = ("ledger", "parts-list-2", "register-1994", "foreman")

    def say(at: int, kind: StatementKind, form: str, **more: Any) -> None:
        place = Place(f"marks/{names[at]}.yml", 10 + len(stated[at]), 1)
        stated[at].append(Statement(kind=kind, mark=names[at], form=form, spell=1, place=place,
                                    source=chance.choice(trusts), **more))

    def at_car(position: int) -> When:
        number = line.car_at(position)
        return When(WhenKind.CAR, number.written, sketch.HERE, car=number)

    start = chance.randint(line.series.out_of_order, line.cars // 2)
    held_by = line.days_at(start)[1] + timedelta(days=90)
    beyond = [at for at, days in enumerate(every_day(line)) if days[0] > held_by]
    say(0, StatementKind.LAST, "old", when=at_car(start))
    for at in range(1, count):
        kind = chance.choice((StatementKind.BEFORE, StatementKind.TOGETHER))
        if chance.random() < 0.3:
            say(at - 1, StatementKind.AFTER, "new", other=FormRef(names[at], "new"))
        else:
            say(at, kind, "new", other=FormRef(names[at - 1], "new"))
    say(count - 1, StatementKind.FIRST, "new", when=at_car(chance.choice(beyond)))
    for _ in range(chance.randint(0, 2)):                # bystanders, true or idle
        say(chance.randrange(count), StatementKind.FIRST, "old",
            when=When(WhenKind.START, "start", sketch.HERE))
    scope = Scope((("series", (line.series.id,)),))
    marks = {
        name: sketch.mark(said, ("old", "new"), [sketch.form("old"), sketch.form("new")], name, scope=scope)
        for name, said in zip(names, stated, strict=True)
    }
    planted = frozenset((name, index) for name, said in zip(names, stated, strict=True)
                        for index, one in enumerate(said) if one.form != "old" or one.kind is StatementKind.LAST)
    return Planted(replace(guide, marks=dict(guide.marks) | marks), planted, count)


def labels_of(problem: Problem, chosen: frozenset[tuple[str, int]]) -> frozenset[int]:
    return frozenset(one.label for one in problem.claims if (one.mark, one.index) in chosen)


def posed(guide: Guide, lines: dict[str, SeriesLine]) -> Problem:
    return pose(guide, lines, standing_statements(guide))


def smallest_sets(problem: Problem, chain: frozenset[int]) -> list[frozenset[int]]:
    """All smallest sets of statements of the marks in a chain that cannot stand together, by enumeration."""
    marks = {problem.claims[label].mark for label in chain}
    candidates = [one for one in problem.claims if one.mark in marks]
    for size in range(1, len(chain) + 1):
        found = [
            frozenset(one.label for one in chosen) for chosen in combinations(candidates, size)
            if not all_stand(problem, [tie for one in chosen for tie in one.ties])
        ]
        if found:
            return found
    raise AssertionError("the statements of the chain can all stand")


def all_stand(problem: Problem, ties: list[Tie]) -> bool:
    return problem.builder.network.copy().insert(ties)


@pytest.fixture(scope="module")
def lines(guide: Guide) -> dict[str, SeriesLine]:
    return series_lines(guide)


def planted_ones(guide: Guide, lines: dict[str, SeriesLine]) -> Iterator[Planted]:
    solved = solve(posed(guide, lines))
    for seed in range(SEEN):
        yield a_seen_car(guide, lines, solved, random.Random(seed))
    for seed in range(CHAINS):
        yield a_chain(guide, lines, random.Random(1000 + seed))


def test_every_planted_clash_is_found_and_explained_and_goes_with_any_statement_it_names(
    guide: Guide, lines: dict[str, SeriesLine]
) -> None:
    chance = random.Random(7)
    long_chains = unique = gone = named = 0
    for planted in planted_ones(guide, lines):
        problem = posed(planted.guide, lines)
        mine = labels_of(problem, planted.statements)
        inserted = insert_claims(problem)
        assert len(inserted.refused) == 1
        refused = inserted.refused[0]
        chain = frozenset(refused.chain.labels())
        assert refused.claim.label in chain
        assert chain & mine
        assert sum(tie.weight for tie in refused.chain.ties) == refused.chain.ticks < 0
        if planted.chain_marks:
            assert chain == mine
            long_chains += len(chain) >= 5
        smallest = smallest_sets(problem, chain) if len(chain) <= 2 or chance.random() < 0.1 else [chain]
        assert len(smallest[0]) == len(chain)
        if smallest == [chain]:
            unique += 1
            named += len(chain)
            for label in chain:
                left = insert_claims(problem, frozenset({label})).refused
                again = [frozenset(one.chain.labels()) for one in left]
                assert chain not in again
                gone += not again
        bystanders = sorted({one.label for one in problem.claims} - chain)
        for label in chance.sample(bystanders, 1):
            left = insert_claims(problem, frozenset({label})).refused
            assert [one.claim.label for one in left] == [refused.claim.label]
    assert long_chains >= 20
    assert unique >= 100
    assert gone >= 0.9 * named                           # the rest still clash by a longer way round


def test_planted_clashes_are_warnings_whose_steps_add_up_and_whose_dates_differ_by_what_they_are_short(
    guide: Guide, lines: dict[str, SeriesLine]
) -> None:
    for number, planted in enumerate(planted_ones(guide, lines)):
        if number % 10:
            continue
        result = derive_limits(planted.guide)
        clash = next(one for one in result.clashes if one.ruled is None)
        assert clash.finding is not None
        assert clash.finding.severity is Severity.WARNING
        assert clash.finding.chain == clash.chain
        upper = sum(step.ticks for step in clash.chain if step.ticks > 0)
        lower = -sum(step.ticks for step in clash.chain if step.ticks < 0)
        assert lower > upper
        first = guide.production.first
        assert clash.short_by_days == (day_of(lower, first) - day_of(upper, first)).days
        assert clash.finding.set_aside is not None
        assert planted.guide.sources[clash.finding.set_aside.source].trust in tuple(Trust)
        assert "wrong" not in clash.finding.message
