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
come before one in a wider cell. A car that was put together elsewhere was built so long after (or before) its number
was given out as is said under ``assembled``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cached_property

from guide.facts.types import Assembly, CarNumber, FormRef, Guide, Mark, Scope, Statement, StatementKind, When, WhenKind
from guide.finding import TICKS_PER_DAY, StepKind
from guide.limits.build import DAY, ORIGIN, Builder, Ends, SpellKey
from guide.limits.network import Tie
from guide.limits.positions import SeriesLine
from guide.limits.scopes import Cell
from guide.limits.types import Said, Why
from guide.limits.wording import when_said, word_of
from guide.sentence import day as said_day
from guide.sentence import one_of

__all__ = ["cells_sharing_cars", "stated", "ties_in_cell", "together_ties"]


class _Filled(Mapping[str, Said]):
    """What fills the sentence of a statement, worked out when it is told: of many statements few ever are."""

    def __init__(self, guide: Guide, statement: Statement, more: Mapping[str, Said]) -> None:
        self._guide, self._statement, self._more = guide, statement, more

    @cached_property
    def _filled(self) -> Mapping[str, Said]:
        said, when = self._statement, self._statement.when
        source, form = word_of(self._guide, said.source, said.page), FormRef(said.mark, said.form, said.spell)
        told: dict[str, Said] = {} if when is None else {"when": when_said(self._guide, when, taken_as=True)}
        return {"source": source, "form": form, **told, **self._more}

    def __getitem__(self, slot: str) -> Said:
        return self._filled[slot]

    def __iter__(self) -> Iterator[str]:
        return iter(self._filled)

    def __len__(self) -> int:
        return len(self._filled)


def _statement_why(guide: Guide, statement: Statement, text: str, **slots: Said) -> Why:
    """Return a statement as a reason: the sentence ``text`` with its source, page, form and time filled in."""
    return Why(StepKind.STATEMENT, statement.place, statement.source, text, _Filled(guide, statement, slots))


def stated(guide: Guide, statement: Statement) -> Why:
    """Return a statement with a when as the reason it gives: "Bulletin 7 gives C1840 as the last"."""
    when = statement.when
    assert when is not None
    way = "-ever" if statement.superlative else ""
    if statement.kind is StatementKind.SEEN and when.car is None:
        way = "-day"
    return _statement_why(guide, statement, f"limits.{statement.kind}{way}")


def ties_in_cell(builder: Builder, mark: Mark, statement: Statement, cell: int, label: int) -> Iterator[Tie]:
    """Yield what a statement ties together in a cell of its mark that it speaks for, upper bounds before lower ones."""
    return _CellTies(builder, mark, statement, cell, label).ties()


class _CellTies:
    """The ties of one statement in one cell."""

    def __init__(self, builder: Builder, mark: Mark, statement: Statement, cell: int, label: int) -> None:
        self.builder, self.mark, self.statement, self.index, self.label = builder, mark, statement, cell, label
        self.cell: Cell = builder.cells[mark.id][cell]
        self.ends: Ends = builder.ends[SpellKey(mark.id, statement.form, statement.spell, cell)]
        self.point = self.ends.last if statement.kind is StatementKind.LAST else self.ends.first
        """What is spoken of, but for a car seen: that lies between both ends."""

    @cached_property
    def line(self) -> SeriesLine | None:
        """The line of the one series of the cell's cars, None where there are several, or where some were assembled
        elsewhere."""
        elsewhere = self.builder.dimensions.may_be_assembled(self.cell.closed)
        return None if elsewhere else self.builder.only_line(self.cell)

    @cached_property
    def lines(self) -> list[SeriesLine]:
        """The lines by whose open days the cell's cars go: none where they were assembled elsewhere."""
        builder = self.builder
        ours = () if builder.dimensions.assembly_of(self.cell.closed) else self.cell.series
        return [builder.lines[series] for series in ours if series in builder.lines]

    @cached_property
    def assembly(self) -> Assembly | None:
        """How long after its number was given out the car was built that is named, where that was elsewhere."""
        when, dimensions = self.statement.when, self.builder.dimensions
        if when is None or when.car is None or not self.builder.guide.assembled:
            return None
        return dimensions.assembly_of(
            dimensions.close(self.cell.closed, self.statement.scope, dimensions.of_car(when.car))
        )

    def ties(self) -> Iterator[Tie]:
        """Yield the ties, upper bounds before lower ones."""
        if self.statement.other is not None:
            yield from self._beside(self.statement.other)
        elif self.statement.when is not None and self.statement.kind is StatementKind.SEEN:
            yield from self._seen(self.statement.when)
        elif self.statement.when is not None:
            own = tuple(self._end(self.statement.when))
            yield from own
            if self.statement.superlative:
                yield from self._ever(own)

    def _why(self, text: str, **slots: Said) -> Why:
        return _statement_why(self.builder.guide, self.statement, text, **slots)

    def _stated(self) -> Why:
        return stated(self.builder.guide, self.statement)

    # A car seen

    def _seen(self, when: When) -> Iterator[Tie]:
        why = self._stated()
        if when.car is not None:
            point = self.builder.car(when)
            if point is not None:
                yield self._from_car(point, self.ends.first, why, upper=True)
                yield self._from_car(point, self.ends.last, why, upper=False)
            return
        years = None if self.line is None else self.builder.model_year(when, self.line.series.id)
        if years is not None:
            yield self._from_car(years[1], self.ends.first, why, upper=True)
            yield self._from_car(years[0], self.ends.last, why, upper=False)
            return
        low, high = self.builder.moments.bounds(when, of=self.cell.series)
        if self._shut_throughout(low, high) is not None:
            return
        if high is not None:
            yield self._bound(self.ends.first, high, why, upper=True)
        if low is not None:
            yield self._bound(self.ends.last, low, why, upper=False)

    # A first or a last

    def _end(self, when: When) -> Iterator[Tie]:
        if when.car is not None:
            yield from self._at_car(when)
            return
        line, is_last = self.line, self.statement.kind is StatementKind.LAST
        if line is not None and when.of == line.series.id:
            yield self._past(line, self._stated(), first=when.kind is WhenKind.START)
            return
        if line is not None and self.builder.moments.cars_of_model_year(when, line.series.id) is not None:
            yield from self._in_model_year(when, line)
            return
        low, high = self.builder.moments.bounds(when, of=self.cell.series)
        shut = self._shut_throughout(low, high)
        if shut is None and line is not None:
            series = line.series.body
            if high is not None and high < line.earliest_day(0):
                yield self._past(line, self._why("limits.before-series", series=series), first=True)
                return
            if low is not None and low > line.latest_day(line.cars - 1):
                yield self._past(line, self._why("limits.after-series", series=series), first=False)
                return
        yield from self._within(low, high, None if shut is None else shut[0] if is_last else shut[1])

    def _past(self, line: SeriesLine, why: Why, *, first: bool) -> Tie:
        """Return the bound of what had come by the first car of a series, or came only after its last."""
        end = self.builder.nominal(line.series.id, 0 if first else line.cars - 1)
        return Tie(end, self.point, 0, why, self.label) if first else Tie(self.point, end, 0, why, self.label)

    def _ever(self, own: tuple[Tie, ...]) -> Iterator[Tie]:
        """Yield the bound of a last (first) ever on the last (first) of every other spell of the form."""
        said = self.statement
        for spell in self.mark.forms[said.form].spells:
            ends = self.builder.ends.get(SpellKey(self.mark.id, said.form, spell.number, self.index))
            for tie in own if ends is not None and spell.number != said.spell else ():
                assert ends is not None
                if said.kind is StatementKind.LAST and tie.head == self.point:
                    yield tie._replace(head=ends.last)
                if said.kind is StatementKind.FIRST and tie.tail == self.point:
                    yield tie._replace(tail=ends.first)

    def _at_car(self, when: When) -> Iterator[Tie]:
        why, stock = self._stated(), self.statement.old_stock_cars or 0
        car, furthest = self.builder.car(when), self.builder.car(when, further=stock)
        if car is None or furthest is None:
            return
        upper = self._stock_why(stock, [self.builder.name_of(furthest)]) if stock else why
        yield self._from_car(furthest, self.point, upper, upper=True)
        yield self._from_car(car, self.point, why, upper=False)

    def _from_car(self, car: int, point: int, why: Why, *, upper: bool) -> Tie:
        """Return the bound of a moment by that of a car's number, given out before or after it was built elsewhere."""
        days = 0
        if self.assembly is not None:
            days = self.assembly.most_days if upper else -self.assembly.least_days
            text = "after" if self.assembly.is_after else "before"
            said: dict[str, Said] = {"span": self.assembly.span}
            source = self.assembly.source
            more = Why(StepKind.RULE, self.assembly.place, source, f"limits.assembled-{text}", said)
            why = replace(why, more=(*why.more, (days * TICKS_PER_DAY, more)))
        ticks = days * TICKS_PER_DAY
        return Tie(car, point, ticks, why, self.label) if upper else Tie(point, car, ticks, why, self.label)

    def _in_model_year(self, when: When, line: SeriesLine) -> Iterator[Tie]:
        """Yield the bounds of a model year that a table gives by numbers: somewhere among its cars."""
        why, stock = self._stated(), self.statement.old_stock_cars or 0
        points = self.builder.model_year(when, line.series.id, further=stock)
        assert points is not None
        upper = self._stock_why(stock, [self.builder.name_of(points[1])]) if stock else why
        yield self._from_car(points[1], self.point, upper, upper=True)
        yield self._from_car(points[0], self.point, why, upper=False)

    def _within(self, low: date | None, high: date | None, opened: date | None) -> Iterator[Tie]:
        """Yield the bounds of stated days; ``opened`` is the open day that is meant where nothing was built on them.

        A change said to come in while the works were shut is on the first car after; what was fitted until then is
        on the last car before.
        """
        why, stock = self._stated(), self.statement.old_stock_cars
        if high is not None and stock:
            yield self._with_stock(opened or high, stock)
        elif high is not None:
            yield self._bound(self.point, high, why, opened, upper=True)
        if low is not None:
            yield self._bound(self.point, low, why, opened, upper=False)

    def _shut_throughout(self, low: date | None, high: date | None) -> tuple[date, date] | None:
        """Return the open days next before and after a stated time in which nothing was built, None for any other."""
        if low is None or high is None or not self.lines:
            return None
        before = max(line.day_before_closure(high) for line in self.lines)
        after = min(line.day_after_closure(low) for line in self.lines)
        return (before, after) if before < low and high < after else None

    def _with_stock(self, high: date, stock: int) -> Tie:
        """Return the bound of a last by date that old stock may pass by so many cars of any series."""
        reached = [(line, line.last_by(high) + stock) for line in self.lines if line.cars]
        day = max([high, *(line.latest_day(position) for line, position in reached)])
        cars = [line.car_at(position) for line, position in reached]
        return self._bound(self.point, day, self._stock_why(stock, cars), upper=True)

    def _stock_why(self, stock: int, reached: Sequence[CarNumber | None]) -> Why:
        """Return the reason for a last that so many cars may pass, with the car of each series that this reaches."""
        cars = [car.written for car in reached if car is not None]
        text = "limits.last-with-stock-to" if cars else "limits.last-with-stock"
        return self._why(text, cars=stock, reached=one_of(cars) if cars else "")

    # Days

    def _bound(self, point: int, day: date, why: Why, opened: date | None = None, *, upper: bool) -> Tie:
        """Return the bound of a last (``upper``) or first day, with the reason where it moves to an open day.

        Unless ``opened`` says which: where every line stood shut, the day before or after.
        """
        if opened is None and upper:
            opened = max((line.day_before_closure(day) for line in self.lines), default=day)
        elif opened is None:
            opened = min((line.day_after_closure(day) for line in self.lines), default=day)
        if opened != day:
            more = (opened - day).days * TICKS_PER_DAY
            why = replace(why, more=(*why.more, (more if upper else -more, self._shut(opened, earlier=opened < day))))
        if upper:
            return Tie(ORIGIN, point, self.builder.end_of(opened), why, self.label)
        return Tie(point, ORIGIN, -self.builder.start_of(opened), why, self.label)

    def _shut(self, opened: date, *, earlier: bool) -> Why:
        """Return the reason that an open day stands for the closure after it (``earlier``) or before it."""
        text, day = ("limits.shut-from", opened + DAY) if earlier else ("limits.shut-until", opened - DAY)
        closures = [one for one in self.builder.guide.closures if one.first <= day <= one.last]
        place = closures[0].place if closures else self.statement.place
        return Why(StepKind.RULE, place, closures[0].source if closures else "", text, {"day": said_day(day)})

    # Beside another form

    def _beside(self, other: FormRef) -> Iterator[Tie]:
        kind = self.statement.kind
        text = "limits.together-with" if kind is StatementKind.TOGETHER else f"limits.{kind}-form"
        why = self._why(text, other=other)
        for cell, ends in cells_sharing_cars(self.builder, self.cell.closed, other):
            mine, theirs = self.point, ends.first
            strict = -1 if not (_is_late(self.builder, self.cell) or _is_late(self.builder, cell)) else 0
            if kind is StatementKind.TOGETHER:
                for tie in together_ties(self.builder, (self.cell, mine), (cell, theirs), why):
                    yield tie.labelled(self.label)
            elif kind is StatementKind.BEFORE and _can_precede(self.builder, self.cell, cell):
                yield Tie(theirs, mine, strict, why, self.label)
            elif kind is StatementKind.AFTER and _can_precede(self.builder, cell, self.cell):
                yield Tie(mine, theirs, strict, why, self.label)


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


def cells_sharing_cars(builder: Builder, scope: Scope, ref: FormRef) -> Iterator[tuple[Cell, Ends]]:
    """Yield the cells of a form in which some car of a scope can lie, with the spell's ends there."""
    for index, cell in enumerate(builder.cells.get(ref.mark, ())):
        ends = builder.ends.get(SpellKey(ref.mark, ref.form, ref.spell, index))
        if ends is not None and builder.dimensions.close(scope, cell.closed) is not None:
            yield cell, ends


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
