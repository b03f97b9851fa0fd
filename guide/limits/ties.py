"""What a statement ties together in one cell of its mark.

Theory
------
A stated day on which the works were shut means the next open day, or the last one before; a time in which they
were shut throughout means the next for a first and the one before for a last, and no car can have been built in
it. A stated time that was over before a series began means that its very first car had changed already; a time
that came only after its last car, that none had. ``old stock`` lets the last come later by so many cars. A last
(first) *ever* holds for every spell of a form that returns, not for the one spell alone. ``before``, ``after`` and
``together with`` tie the firsts of two forms in cells that share cars; strictly, except in a series that
began after production did, where both may have been there from its first car; nor does a first in such a series
come before one in a wider cell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from guide.facts.types import CarNumber, FormRef, Guide, Mark, Scope, Statement, StatementKind, When, WhenKind
from guide.finding import StepKind
from guide.limits.build import DAY, ORIGIN, Builder, Ends, SpellKey
from guide.limits.network import Tie
from guide.limits.positions import SeriesLine
from guide.limits.scopes import Cell, intersect
from guide.limits.why import Said, Why
from guide.limits.wording import cited, when_said
from guide.sentence import Value, one_of
from guide.sentence import day as said_day

__all__ = ["cells_sharing_cars", "joint_scope", "stated", "ties_in_cell", "together_ties"]


def _statement_why(guide: Guide, statement: Statement, text: str, **slots: Said) -> Why:
    """Return a statement as a reason: the sentence ``text`` with its source, page and form filled in."""
    source = guide.sources.get(statement.source)
    filled: dict[str, Said] = {
        "source": cited(source.name if source else statement.source, statement.page),
        "form": FormRef(statement.mark, statement.form, statement.spell),
        **slots,
    }
    return Why(StepKind.STATEMENT, statement.place, statement.source, text, filled)


def stated(guide: Guide, statement: Statement) -> Why:
    """Return a statement with a when as the reason it gives: "Bulletin 7 gives C1840 as the last"."""
    when = statement.when
    assert when is not None
    way = "-ever" if statement.superlative else ""
    if statement.kind is StatementKind.SEEN and when.car is None:
        way = "-day"
    return _statement_why(guide, statement, f"limits.{statement.kind}{way}", when=when_said(guide, when, taken_as=True))


def ties_in_cell(builder: Builder, mark: Mark, statement: Statement, cell: int) -> Iterator[Tie]:
    """Yield what a statement ties together in a cell of its mark that it speaks for, upper bounds before lower ones."""
    return _CellTies(builder, mark, statement, cell).ties()


class _CellTies:
    """The ties of one statement in one cell."""

    def __init__(self, builder: Builder, mark: Mark, statement: Statement, cell: int) -> None:
        self.builder, self.mark, self.statement = builder, mark, statement
        self.index = cell
        self.cell: Cell = builder.cells[mark.id][cell]
        self.ends: Ends = builder.ends[SpellKey(mark.id, statement.form, statement.spell, cell)]
        self.line: SeriesLine | None = builder.only_line(self.cell)

    def ties(self) -> Iterator[Tie]:
        """Yield the ties, upper bounds before lower ones."""
        kind, when = self.statement.kind, self.statement.when
        if kind is StatementKind.SEEN:
            if when is not None:
                yield from self._seen(when)
        elif kind in (StatementKind.FIRST, StatementKind.LAST):
            if when is not None:
                point = self.ends.first if kind is StatementKind.FIRST else self.ends.last
                own = tuple(self._end(point, when))
                yield from own
                if self.statement.superlative:
                    yield from self._ever(point, own)
        elif self.statement.other is not None:
            yield from self._beside(self.statement.other)
        elif when is not None:
            yield from self._before_or_after(when)

    def _why(self, text: str, **slots: Said) -> Why:
        return _statement_why(self.builder.guide, self.statement, text, **slots)

    def _when(self, when: When) -> Value:
        return when_said(self.builder.guide, when, taken_as=True)

    def _stated(self) -> Why:
        return stated(self.builder.guide, self.statement)

    # A car seen

    def _seen(self, when: When) -> Iterator[Tie]:
        why = self._stated()
        if when.car is not None:
            point = self.builder.car(when)
            if point is not None:
                yield Tie(point, self.ends.first, 0, why)
                yield Tie(self.ends.last, point, 0, why)
            return
        low, high = self.builder.moments.bounds(when)
        if self._shut_throughout(low, high) is not None:
            return
        if high is not None:
            yield self._not_after(self.ends.first, high, why)
        if low is not None:
            yield self._not_before(self.ends.last, low, why)

    # A first or a last

    def _end(self, point: int, when: When) -> Iterator[Tie]:
        why = self._stated()
        if when.car is not None:
            yield from self._at_car(point, when, why)
            return
        if when.kind is not WhenKind.DATE and self.line is not None and when.of == self.line.series.id:
            yield from self._at_series_end(point, when, why)
            return
        low, high = self.builder.moments.bounds(when)
        shut = self._shut_throughout(low, high)
        if shut is not None:
            yield from self._about_a_closure(point, low, high, shut, why)
            return
        line = self.line
        if line is not None and high is not None and high < line.earliest_day(0):
            began = self._why("limits.before-series", when=self._when(when), series=line.series.body)
            yield Tie(self.builder.nominal(line.series.id, 0), point, 0, began)
        elif line is not None and low is not None and low > line.latest_day(line.cars - 1):
            ended = self._why("limits.after-series", when=self._when(when), series=line.series.body)
            yield Tie(point, self.builder.nominal(line.series.id, line.cars - 1), 0, ended)
        else:
            yield from self._within(point, low, high, why)

    def _ever(self, point: int, own: tuple[Tie, ...]) -> Iterator[Tie]:
        """Yield the bound of a last (first) ever on the last (first) of every other spell of the form."""
        said = self.statement
        for spell in self.mark.forms[said.form].spells:
            ends = self.builder.ends.get(SpellKey(self.mark.id, said.form, spell.number, self.index))
            for tie in own if ends is not None and spell.number != said.spell else ():
                assert ends is not None
                if said.kind is StatementKind.LAST and tie.head == point:
                    yield tie._replace(head=ends.last)
                if said.kind is StatementKind.FIRST and tie.tail == point:
                    yield tie._replace(tail=ends.first)

    def _at_car(self, point: int, when: When, why: Why) -> Iterator[Tie]:
        car = self.builder.car(when)
        if car is None:
            return
        stock = self.statement.old_stock_cars
        furthest = self.builder.car(when, further=stock) if stock else car
        assert furthest is not None
        upper = self._stock_why(when, stock, [self.builder.name_of(furthest)]) if stock else why
        yield Tie(furthest, point, 0, upper)
        yield Tie(point, car, 0, why)

    def _at_series_end(self, point: int, when: When, why: Why) -> Iterator[Tie]:
        assert self.line is not None
        series = self.line.series.id
        if when.kind is WhenKind.START:
            yield Tie(self.builder.nominal(series, 0), point, 0, why)
        else:
            yield Tie(point, self.builder.nominal(series, self.line.cars - 1), 0, why)

    def _within(self, point: int, low: date | None, high: date | None, why: Why) -> Iterator[Tie]:
        if high is not None:
            stock = self.statement.old_stock_cars
            yield self._not_after(point, high, why) if not stock else self._with_stock(point, high, stock)
        if low is not None:
            yield self._not_before(point, low, why)

    def _shut_throughout(self, low: date | None, high: date | None) -> tuple[date, date] | None:
        """Return the open days next before and after a stated time in which nothing was built, None for any other."""
        lines = self._lines()
        if low is None or high is None or not lines:
            return None
        before = max(line.day_before_closure(high) for line in lines)
        after = min(line.day_after_closure(low) for line in lines)
        return (before, after) if before < low and high < after else None

    def _about_a_closure(
        self, point: int, low: date | None, high: date | None, opened: tuple[date, date], why: Why
    ) -> Iterator[Tie]:
        """Yield the bounds of a first or last said to fall where nothing was built.

        A change said to come in while the works were shut is on the first car after; what was fitted until then is
        on the last car before.
        """
        assert low is not None
        assert high is not None
        before, after = opened
        is_last = self.statement.kind is StatementKind.LAST
        day = before if is_last else after
        shut = ("limits.shut-from", before + DAY) if is_last else ("limits.shut-until", after - DAY)
        if self.statement.old_stock_cars:
            yield self._with_stock(point, day, self.statement.old_stock_cars)
        else:
            yield self._bound(point, (high, day), why, shut, upper=True)
        yield self._bound(point, (low, day), why, shut, upper=False)

    def _with_stock(self, point: int, high: date, stock: int) -> Tie:
        """Return the bound of a last by date that old stock may pass by so many cars of any series."""
        assert self.statement.when is not None
        days, cars = [high], []
        for line in self._lines():
            if line.cars:
                furthest = line.last_by(high) + stock
                days.append(line.latest_day(furthest))
                cars.append(line.car_at(furthest))
        return self._not_after(point, max(days), self._stock_why(self.statement.when, stock, cars))

    def _stock_why(self, when: When, stock: int, reached: Sequence[CarNumber | None]) -> Why:
        """Return the reason for a last that so many cars may pass, with the car of each series that this reaches."""
        cars = [car.written for car in reached if car is not None]
        said = self._when(when)
        if not cars:
            return self._why("limits.last-with-stock", when=said, cars=stock)
        return self._why("limits.last-with-stock-to", when=said, cars=stock, reached=one_of(cars))

    # Days

    def _lines(self) -> list[SeriesLine]:
        return [self.builder.lines[series] for series in self.cell.series if series in self.builder.lines]

    def _not_after(self, point: int, day: date, why: Why) -> Tie:
        """Return the bound of a last day; where every line stood shut on it, of the day before that."""
        opened = max((line.day_before_closure(day) for line in self._lines()), default=day)
        return self._bound(point, (day, opened), why, ("limits.shut-from", opened + DAY), upper=True)

    def _not_before(self, point: int, day: date, why: Why) -> Tie:
        """Return the bound of a first day; where every line stood shut on it, of the day after that."""
        opened = min((line.day_after_closure(day) for line in self._lines()), default=day)
        return self._bound(point, (day, opened), why, ("limits.shut-until", opened - DAY), upper=False)

    def _bound(self, point: int, days: tuple[date, date], why: Why, shut: tuple[str, date], *, upper: bool) -> Tie:
        """Return the bound of a stated day, moved to an open one; ``shut`` says why, where that is another day."""
        at = self.builder.end_of if upper else self.builder.start_of
        said, opened = at(days[0]), at(days[1])
        if said != opened:
            more = opened - said if upper else said - opened
            why = replace(why, more=(*why.more, (more, self._shut(*shut))))
        return Tie(ORIGIN, point, opened, why) if upper else Tie(point, ORIGIN, -opened, why)

    def _shut(self, text: str, day: date) -> Why:
        """Return the reason that nothing was built on a day."""
        closures = [one for one in self.builder.guide.closures if one.first <= day <= one.last]
        place = closures[0].place if closures else self.statement.place
        return Why(StepKind.RULE, place, closures[0].source if closures else "", text, {"day": said_day(day)})

    # Beside another form

    def _beside(self, other: FormRef) -> Iterator[Tie]:
        kind = self.statement.kind
        text = {StatementKind.BEFORE: "limits.before-form", StatementKind.AFTER: "limits.after-form"}.get(
            kind, "limits.together-with"
        )
        why = self._why(text, other=other)
        for cell, ends in cells_sharing_cars(self.builder, self.cell, other):
            mine, theirs = self.ends.first, ends.first
            strict = -1 if not (_is_late(self.builder, self.cell) or _is_late(self.builder, cell)) else 0
            if kind is StatementKind.BEFORE:
                if _can_precede(self.builder, self.cell, cell):
                    yield Tie(theirs, mine, strict, why)
            elif kind is StatementKind.AFTER:
                if _can_precede(self.builder, cell, self.cell):
                    yield Tie(mine, theirs, strict, why)
            else:
                yield from together_ties(self.builder, (self.cell, mine), (cell, theirs), why)

    def _before_or_after(self, when: When) -> Iterator[Tie]:
        why = self._stated()
        before = self.statement.kind is StatementKind.BEFORE
        if when.car is not None:
            car = self.builder.car(when)
            if car is not None:
                yield Tie(car, self.ends.first, -1, why) if before else Tie(self.ends.first, car, -1, why)
            return
        low, high = self.builder.moments.bounds(when)
        if before and (low or high) is not None:
            day = low or high
            assert day is not None
            yield self._not_after(self.ends.first, day - DAY, why)
        elif not before and (high or low) is not None:
            day = high or low
            assert day is not None
            yield self._not_before(self.ends.first, day + DAY, why)


def _is_late(builder: Builder, cell: Cell) -> bool:
    """Tell whether a cell's one series began after production did."""
    line = builder.only_line(cell)
    return line is not None and line.earliest_day(0) > builder.guide.production.first


def _can_precede(builder: Builder, cell: Cell, other: Cell) -> bool:
    """Tell whether a first in one cell must be able to come before the first in another that shares cars with it.

    In a series that began late it cannot, where the other cell holds cars of an earlier series too: what had come
    in before the series did was there from its very first car.
    """
    return not _is_late(builder, cell) or _is_late(builder, other)


def cells_sharing_cars(builder: Builder, cell: Cell, ref: FormRef) -> Iterator[tuple[Cell, Ends]]:
    """Yield the cells of a form in which some car of a given cell can lie, with the spell's ends there."""
    for index, other in enumerate(builder.cells.get(ref.mark, ())):
        ends = builder.ends.get(SpellKey(ref.mark, ref.form, ref.spell, index))
        if ends is not None and joint_scope(builder, cell.closed, other.closed) is not None:
            yield other, ends


def together_ties(builder: Builder, one: tuple[Cell, int], other: tuple[Cell, int], why: Why) -> Iterator[Tie]:
    """Yield the ties that make two firsts one moment.

    Where the one lies in a series that began late and the other does not, the change may have come before
    that series did: then the wider cell's first is only not after the narrower one's.
    """
    (cell, mine), (their_cell, theirs) = one, other
    if _can_precede(builder, cell, their_cell):
        yield Tie(theirs, mine, 0, why)
    if _can_precede(builder, their_cell, cell):
        yield Tie(mine, theirs, 0, why)


def joint_scope(builder: Builder, *scopes: Scope) -> Scope | None:
    """Return the cars that all the scopes have in common, closed under what the guide says of them; None if none."""
    joint = intersect(*scopes)
    return None if joint is None else builder.dimensions.close(joint)
