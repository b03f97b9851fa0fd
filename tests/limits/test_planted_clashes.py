"""Two hundred clashes planted in the demo guide, each found, explained and undone again.

Two kinds: a car seen beyond a stated last or before a stated first; and a chain of two to seven statements about
one to six new marks, or to and fro between two of them, tied to one another by `before`, `after` and `together
with`, by the coverage rule and by cars in order of number, so that no part of it contradicts itself. Seeds are
fixed.

*The report* of a clash is the statement set aside with the statements its chain names. *Conflicts* are found by
enumeration that shares nothing with the program's solving (`conflicts`). Where there is one conflict only, the
report must name exactly that, go with any statement it names and stay whatever else is deleted. Where a longer way
round leads to the same contradiction, the report goes as well, and what is left to say must be another conflict.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import Any, NamedTuple

import pytest

from guide.facts.types import FormRef, Guide, Scope, Statement, StatementKind, Trust, When, WhenKind
from guide.finding import Place, Severity
from guide.limits.chain import Chain
from guide.limits.derive import derive_limits
from guide.limits.moments import Moments
from guide.limits.positions import SeriesLine, series_lines
from guide.limits.solve import Refused, Solved, TemporalProblem, insert_claims, pose, solve
from guide.limits.types import day_of
from tests.limits import sketch
from tests.limits.conflicts import Conflicts
from tests.told import told

pytestmark = pytest.mark.long

SEEN, CHAINS = 100, 100
MANY = 4  # conflicts; where there are more, they are not all enumerated


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
        edge = day_of(solved.latest_of(ends.last) if late else solved.earliest_of(ends.first), guide.production.first)
        fitting = [at for at, days in enumerate(every_day(line)) if (days[0] > edge if late else days[1] < edge)]
        if not fitting:
            continue
        number = line.car_at(chance.choice(fitting))
        place = Place(f"marks/{key.mark}.yml", 900, 1)
        scope = Scope(tuple(part for part in cell.scope.parts if part[0] != "series"))
        seen = Statement(
            kind=StatementKind.SEEN,
            mark=key.mark,
            form=key.form,
            spell=key.spell,
            scope=scope,
            when=When(WhenKind.CAR, number.written, place, car=number),
            source="foreman",
            place=place,
        )
        planted = with_statements(guide, key.mark, [seen])
        return Planted(planted, frozenset({(key.mark, len(planted.marks[key.mark].statements) - 1)}), 0)


def a_chain(guide: Guide, lines: dict[str, SeriesLine], chance: random.Random) -> Planted:
    """Plant new marks whose firsts are tied to one another, from a last by number to a first too far on.

    The first mark's old form ends at a car; by the coverage rule its new form comes within 90 days; each form after
    that is before (or with, or the next after) the one before; the last of them is seen no earlier than a car more
    than that beyond. The links lie in a mark each, or by turns in two marks, forms then being in no order.
    """
    line = lines[chance.choice(("coupe", "open"))]
    links = chance.randint(1, 6)
    names = [f"planted-{number}" for number in range(chance.choice((min(links, 2), links)))]
    stated: dict[str, list[Statement]] = {name: [] for name in names}
    trusts = ("ledger", "parts-list-2", "register-1994", "foreman")

    def link(at: int) -> FormRef:
        return FormRef(names[at % len(names)], "new" if at < len(names) else f"newer-{at}")

    def say(form: FormRef, kind: StatementKind, **more: Any) -> None:
        said = stated[form.mark]
        place = Place(f"marks/{form.mark}.yml", 10 + len(said), 1)
        said.append(
            Statement(
                kind=kind, mark=form.mark, form=form.form, spell=1, place=place, source=chance.choice(trusts), **more
            )
        )

    def at_car(position: int) -> When:
        number = line.car_at(position)
        return When(WhenKind.CAR, number.written, sketch.HERE, car=number)

    start = chance.randint(line.series.out_of_order, line.cars // 2)
    held_by = line.days_at(start)[1] + timedelta(days=90)
    beyond = [at for at, days in enumerate(every_day(line)) if days[0] > held_by]
    say(FormRef(names[0], "old"), StatementKind.LAST, when=at_car(start))
    for at in range(1, links):
        kind = chance.choice((StatementKind.BEFORE, StatementKind.TOGETHER))
        if chance.random() < 0.3:
            say(link(at - 1), StatementKind.AFTER, other=link(at))
        else:
            say(link(at), kind, other=link(at - 1))
    say(link(links - 1), StatementKind.FIRST, when=at_car(chance.choice(beyond)))
    for _ in range(chance.randint(0, 2)):  # bystanders, true or idle
        say(FormRef(chance.choice(names), "old"), StatementKind.FIRST, when=When(WhenKind.START, "start", sketch.HERE))
    scope = Scope((("series", (line.series.id,)),))
    marks = {}
    for name, said in stated.items():
        forms = ["old", *dict.fromkeys(link(at).form for at in range(links) if link(at).mark == name)]
        marks[name] = sketch.mark(said, ("old", "new"), [sketch.form(one) for one in forms], name, scope=scope)
    planted = frozenset(
        (name, index)
        for name, said in stated.items()
        for index, one in enumerate(said)
        if one.form != "old" or one.kind is StatementKind.LAST
    )
    return Planted(replace(guide, marks=dict(guide.marks) | marks), planted, len(names))


def labels_of(problem: TemporalProblem, chosen: frozenset[tuple[str, int]]) -> frozenset[int]:
    return frozenset(one.label for one in problem.claims if (one.mark, one.index) in chosen)


def posed(guide: Guide, lines: dict[str, SeriesLine]) -> TemporalProblem:
    return pose(Moments(guide, lines))


class Report(NamedTuple):
    """What is said of a clash: the statement set aside, and the statements its chain names."""

    set_aside: int
    named: frozenset[int]


def report_of(refused: Refused) -> Report:
    """The report of a clash."""
    return Report(refused.claim.label, frozenset(refused.chain.labels()))


def reports_of(problem: TemporalProblem, without: int) -> list[Report]:
    """The reports of a guide, a statement deleted."""
    return [report_of(one) for one in insert_claims(problem, frozenset({without})).refused]


def needs_all_of_it(problem: TemporalProblem, chain: Chain) -> bool:
    """Whether a chain rests on the calendar, on the order of numbers and on the coverage rule."""
    builder, reasons = problem.builder, {tie.why.text for tie in chain.ties if tie.why is not None}
    by_number = any(
        tie.why is None
        and tie.weight
        and not {tie.tail, tie.head} & builder.cars.keys()
        and builder.name_of(tie.tail)
        and builder.name_of(tie.head)
        for tie in chain.ties
    )
    return by_number and {"limits.calendar", "limits.soon-after"} <= reasons


@pytest.fixture(scope="module")
def lines(guide: Guide) -> dict[str, SeriesLine]:
    return series_lines(guide)


def planted_ones(guide: Guide, lines: dict[str, SeriesLine]) -> Iterator[Planted]:
    solved = solve(posed(guide, lines))
    for seed in range(SEEN):
        yield a_seen_car(guide, lines, solved, random.Random(seed))
    for seed in range(CHAINS):
        yield a_chain(guide, lines, random.Random(1000 + seed))


def test_every_planted_clash_is_found_and_goes_with_any_statement_it_names_and_stays_with_any_other(
    guide: Guide, lines: dict[str, SeriesLine]
) -> None:
    chance = random.Random(7)
    seen: Counter[str] = Counter()
    for planted in planted_ones(guide, lines):
        problem = posed(planted.guide, lines)
        mine = labels_of(problem, planted.statements)
        (refused,) = insert_claims(problem).refused
        report = report_of(refused)
        assert report.set_aside in report.named
        assert report.named & mine
        assert sum(tie.weight for tie in refused.chain.ties) == refused.chain.ticks < 0

        marks = {problem.claims[label].mark for label in report.named}
        others = [one.label for one in problem.claims if one.label not in report.named]
        near = [label for label in others if problem.claims[label].mark in marks]
        enumerated = Conflicts(problem)
        assert not enumerated.can_stand_by_scipy(report.named)
        conflicts, complete = enumerated.all(report.named, near, MANY)
        alone = complete and conflicts == [report.named]
        shortest = [one for one in conflicts if len(one) == len(conflicts[0])]
        assert report.named in shortest
        assert complete or len(shortest) > 1  # enough is known to tell whether there is a single one
        if planted.chain_marks:
            assert alone
            assert report.named == mine
        for label in report.named:  # deleting what it names makes the report go
            left = reports_of(problem, label)
            assert report.named not in [one.named for one in left]
            if alone:
                assert left == []
            assert all(label not in one.named and enumerated.is_one(one.named) for one in left)
        if len(shortest) == 1:  # deleting anything else leaves it
            for label in [*near, *chance.sample(others, 3)]:
                assert reports_of(problem, label) == [report]

        seen["found"] += 1
        seen["alone"] += alone
        seen["single shortest"] += len(shortest) == 1
        if len(report.named) >= 5 and needs_all_of_it(problem, refused.chain):
            seen["long, in two marks"] += len(marks) == 2
            seen["long, in more"] += len(marks) > 2
    assert seen["found"] == 200
    assert seen["alone"] >= 160
    assert seen["long, in two marks"] >= 15
    assert seen["long, in more"] >= 15


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
        assert "wrong" not in told(clash.finding.message)
