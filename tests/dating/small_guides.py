"""Random small guides, straight from types: facts and limits as if read and derived. Nothing of guide.dating.

Each has closures, one or two number series, a market that was left out of some changes, two interiors, marks
with ordered changeovers that may return to an earlier form, a facelift that changed several marks at one
moment, and a re-trim that renews several at once; where asked for, left-hand and right-hand cars, on which some
changes came at different times.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from guide.facts.types import (
    Area,
    CalendarEntry,
    CalendarKind,
    CarNumber,
    ChangedTogether,
    Closure,
    FittedAs,
    Fitting,
    Form,
    FormRef,
    Guide,
    Interior,
    Mark,
    Period,
    Production,
    PublishedEdition,
    Reach,
    RenewedTogether,
    Run,
    Scope,
    Series,
    ShareRow,
    Source,
    Span,
    Spell,
    Split,
    SplitValue,
    Trust,
    When,
    WhenKind,
)
from guide.finding import TICKS_PER_DAY, Place
from guide.limits.moments import Moments
from guide.limits.positions import series_lines
from guide.limits.types import DatedSpell, Limits, LimitsResult

__all__ = ["Small", "small_facts"]

HERE = Place("small.yml")
START, END = When(WhenKind.START, "start", HERE), When(WhenKind.END, "end", HERE)
NAMES = ("lamp", "switch", "dial", "latch", "lever", "mirror", "strap", "badge", "handle", "vent")


@dataclass(frozen=True, slots=True)
class Small:
    """The facts and limits of one random guide."""

    guide: Guide
    limits: LimitsResult


@dataclass(slots=True)
class Maker:
    chance: random.Random
    first: date
    days: int
    shift: timedelta = timedelta(0)
    prefix: str = ""

    def when(self, day: int) -> When:
        at = self.first + timedelta(days=day)
        return When(WhenKind.DATE, at.isoformat(), HERE, at, at)


def small_facts(seed: int, *, prefix: str = "", years: int = 0, marks: int | None = None, hands: bool = False) -> Small:
    """Return a random guide. ``prefix`` renames every id, ``years`` moves every date (28 keeps the weekdays), ``hands``
    tells left-hand and right-hand cars apart."""
    chance = random.Random(seed)
    first = date(1960 + chance.randrange(5), chance.randint(1, 12), chance.randint(1, 28))
    days = chance.randint(800, 1500)
    first = first.replace(year=first.year + years) if first.month != 2 or first.day != 29 else first
    make = Maker(chance, first, days, prefix=prefix)
    closures = _closures(make)
    series = _series(make)
    names = [prefix + name for name in NAMES[: marks or chance.randint(6, 9)]]
    splits = {"market": {prefix + "home": 0.7, prefix + "abroad": 0.3}}
    if hands:
        splits["hand"] = {prefix + "right": 0.6, prefix + "left": 0.4}
    trim = {prefix + "vinyl": 0.65, prefix + "cloth": 0.35}
    spells: list[DatedSpell] = []
    found: dict[str, Mark] = {}
    book = prefix + "book"
    moment = _moment(make)
    sharing = chance.sample(names, chance.randint(2, 4))
    renewed = chance.sample(names, 3)
    for name in names:
        found[name] = _mark(make, name, spells, splits, trim, moment if name in sharing else None)
    together = ChangedTogether(
        name="the facelift",
        forms=tuple(FormRef(name, found[name].order[-1].form, found[name].order[-1].spell) for name in sharing),
        place=HERE,
    )
    guide = Guide(
        title="A small guide",
        car="Small",
        subtitle="",
        published=PublishedEdition(name="one", place=HERE),
        language="en",
        licence="",
        contact="",
        productions=(Production(first=first, last=first + timedelta(days=days - 1), source=book, place=HERE),),
        fine_enough_days=60,
        mask_numbers=True,
        splits={
            split: Split(
                id=split,
                name=split.capitalize(),
                values={value: SplitValue(id=value, name=value, place=HERE) for value in values},
                place=HERE,
            )
            for split, values in splits.items()
        },
        shares=tuple(
            ShareRow(split=split, value=value, share=values[value], place=HERE)
            for split, values in splits.items()
            for value in list(values)[1:]
        ),
        closures=closures,
        series=series,
        sources={book: Source(id=book, name="Book", kind="ledger", trust=Trust.HIGH, place=HERE)},
        areas={prefix + "car": Area(id=prefix + "car", name="Car", marks=tuple(names), place=HERE)},
        marks=found,
        periods=_periods(make),
        interiors={
            name: Interior(
                id=name,
                name=name,
                colour="any",
                material=name,
                rest=name.endswith("vinyl"),
                share=None if name.endswith("vinyl") else share,
                asked_as=name,
                place=HERE,
                spans=(Span(scope=Scope(), first=START, last=END, place=HERE),),
            )
            for name, share in trim.items()
        },
        changed_together=(together,),
        renewed_together=(
            RenewedTogether(
                id=prefix + "re-trim",
                name="a re-trim",
                marks=tuple(n for n in names if n in renewed),
                share=chance.choice([0.15, 0.25, 0.35]),
                place=HERE,
            ),
        ),
        cars_seen=(),
        care={},
        words={},
        overrides={},
        about="",
        place=HERE,
    )
    limits = LimitsResult(
        moments=Moments(guide, series_lines(guide)),
        spells=tuple(spells),
        clashes=(),
        helps=dict,
        findings=(),
        corroborated={},
    )
    return Small(guide, limits)


def _closures(make: Maker) -> tuple[Closure, ...]:
    found = []
    for year in range(make.first.year, make.first.year + 6):
        start = date(year, 8, 1)
        if make.first < start and (start - make.first).days + 20 < make.days:
            found.append(Closure(first=start, last=start + timedelta(days=15), why="holiday", place=HERE))
    if make.chance.random() < 0.5:
        start = make.first + timedelta(days=make.chance.randint(200, make.days - 300))
        last = start + timedelta(days=make.chance.randint(40, 90))
        if all(last < one.first or one.last < start for one in found):
            found.append(Closure(first=start, last=last, why="strike", place=HERE))
    return tuple(found)


def _series(make: Maker) -> dict[str, Series]:
    result = {}
    for at in range(make.chance.randint(1, 2)):
        name, letter = f"{make.prefix}series{at}", "AB"[at]
        begin = 0 if at == 0 else make.chance.randint(100, make.days // 2)
        number, entries, day = 0, [], begin
        if begin:
            entries.append((CalendarKind.FIRST_OF, begin, 1))
        while day < make.days - 1:
            day = min(day + make.chance.randint(70, 110), make.days - 1)
            number += make.chance.randint(60, 260)
            entries.append((CalendarKind.LAST_BY_END, day, number))
        if make.days - 1 - day > 0:
            entries.append((CalendarKind.LAST_BY_END, make.days - 1, number))

        def car(n: int, name: str = name, letter: str = letter) -> CarNumber:
            return CarNumber(name, letter, n, "", f"{letter}{n:05}", f"{letter}{n:05}")

        result[name] = Series(
            id=name,
            name=f"Series {letter}",
            body="car",
            written=(f"{letter}#####",),
            runs=(Run(prefix=letter, first=1, last=number, built=True, source="book", place=HERE),),
            calendar=tuple(
                CalendarEntry(kind=kind, time=make.when(at_day), car=car(n), source="book", place=HERE)
                for kind, at_day, n in entries
            ),
            out_of_order=make.chance.choice([0, 5, 20]),
            place=HERE,
        )
    return result


def _periods(make: Maker) -> dict[str, Period]:
    count = make.chance.randint(3, 5)
    cuts = [0] + [make.days * at // count + make.chance.randint(-60, 60) for at in range(1, count)] + [make.days]
    return {
        f"{make.prefix}period{at}": Period(
            id=f"{make.prefix}period{at}",
            name=f"Period {at}",
            first=make.first + timedelta(days=cuts[at]),
            last=make.first + timedelta(days=cuts[at + 1] - 1),
            place=HERE,
        )
        for at in range(count)
    }


Moment = tuple[tuple[float, float], tuple[float, float]]


def _moment(make: Maker, near: float | None = None) -> Moment:
    """Return limits of a first and of the last it overlaps, in days."""
    centre = near if near is not None else make.chance.uniform(0.3, 0.9) * make.days
    width = make.chance.choice([2, 10, 30, 90, 250])
    early, late = width * make.chance.random(), width * make.chance.random()
    low, high = max(1.0, min(centre - early, make.days - 3.0)), max(2.0, min(centre + late, make.days - 2.0))
    if near is None:
        return (low, high), (low, high)
    overlap = make.chance.choice([0, 0, 20, 60])
    return (low, high), (min(low + overlap, make.days - 1.5), min(high + overlap, make.days - 1.0))


def _mark(
    make: Maker,
    name: str,
    spells: list[DatedSpell],
    splits: dict[str, dict[str, float]],
    trim: dict[str, float],
    moment: Moment | None,
) -> Mark:
    chance = make.chance
    count = chance.choice([2, 2, 3, 3, 4])
    forms = [f"{make.prefix}form{at}" for at in range(min(count, chance.choice([2, 3, 4])))]
    chain: list[FormRef] = []
    for at in range(count):
        form = forms[at] if at < len(forms) else forms[0] if chain[-1].form != forms[0] else forms[1]
        chain.append(FormRef(name, form, 1 + sum(1 for ref in chain if ref.form == form)))
    scopes = [Scope()]
    if moment is None:
        kind = chance.random()
        if kind < 0.3:
            scopes = [Scope((("market", (value,)),)) for value in splits["market"]]
        elif kind < 0.45:
            scopes = [Scope((("interior", (value,)),)) for value in trim]
        elif kind < 0.7 and "hand" in splits:
            scopes = [Scope((("hand", (value,)),)) for value in splits["hand"]]
    for scope in scopes:
        _spell_out(make, name, chain, scope, spells, moment)
    option = f"{make.prefix}option" if chance.random() < 0.2 else None
    if option:
        start = chance.uniform(0.1, 0.5) * make.days
        spells.append(_dated(name, option, 1, Scope(), (start, start + 20), (start + 250, start + 300)))
    every = [*forms, *([option] if option else [])]
    return Mark(
        id=name,
        name=name.capitalize(),
        area=make.prefix + "car",
        question=f"Which {name}?",
        look="Look.",
        reach=chance.choice([Reach.OUTSIDE, Reach.GLASS, Reach.DOOR]),
        place=HERE,
        order=tuple(chain),
        survives_share=chance.choice([0.5, 0.8, 0.9, 0.95]),
        misread_share=chance.choice([None, 0.05]),
        statements=(),
        forms={form: _form(form, chain, form == option, chance, forms) for form in every},
    )


def _form(form: str, chain: Sequence[FormRef], is_option: bool, chance: random.Random, forms: Sequence[str]) -> Form:
    kind, share = (FittedAs.OPTION, 0.15) if is_option else (FittedAs.FACTORY, None)
    fitted = [Fitting(kind=kind, share=share, place=HERE)]
    if not is_option and form == forms[-1] and chance.random() < 0.3:
        fitted.append(Fitting(kind=FittedAs.SERVICE_PART, in_place_of=tuple(forms[:-1]), place=HERE))
    numbers = [1] if is_option else [ref.spell for ref in chain if ref.form == form]
    return Form(
        id=form,
        name=form.capitalize(),
        answer=form,
        picture="",
        fitted_as=tuple(fitted),
        place=HERE,
        spells=tuple(Spell(form=form, number=number, place=HERE) for number in numbers),
    )


def _spell_out(
    make: Maker, name: str, chain: Sequence[FormRef], scope: Scope, spells: list[DatedSpell], moment: Moment | None
) -> None:
    count = len(chain) - 1
    until = make.days if moment is None else moment[0][0] - 30
    centres = sorted(make.chance.uniform(0.05, 0.95) * max(until, 60) for _ in range(count))
    changes = [_moment(make, centre) for centre in centres]
    if moment is not None:
        changes[-1] = moment
    firsts, lasts = [list(change[0]) for change in changes], [list(change[1]) for change in changes]
    for ends in (firsts, lasts):  # an order must be possible
        for earlier, later in pairwise(ends):
            later[1] = max(later[1], earlier[0] + 1)
    whole = (0.0, float(make.days))
    for at, ref in enumerate(chain):
        spells.append(
            _dated(
                name,
                ref.form,
                ref.spell,
                scope,
                tuple(firsts[at - 1]) if at else (0.0, 0.0),
                tuple(lasts[at]) if at < count else whole,
                stated=at < count,
            )
        )


def _dated(
    mark: str,
    form: str,
    spell: int,
    scope: Scope,
    first: Sequence[float],
    last: Sequence[float],
    *,
    stated: bool = True,
) -> DatedSpell:
    def limits(ends: Sequence[float]) -> Limits:
        return Limits(int(ends[0] * TICKS_PER_DAY), int(ends[1] * TICKS_PER_DAY), (), ())

    return DatedSpell(
        mark=mark, form=form, spell=spell, scope=scope, first=limits(first), last=limits(last), last_is_stated=stated
    )
