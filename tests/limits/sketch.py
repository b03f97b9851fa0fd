"""Small guides made straight from the types, so that a test of limits reads no files."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from guide.facts.types import (
    CalendarEntry,
    CalendarKind,
    CarNumber,
    Closure,
    FittedAs,
    Fitting,
    Form,
    FormRef,
    Guide,
    Mark,
    Period,
    Production,
    PublishedEdition,
    Reach,
    Run,
    Scope,
    Series,
    Source,
    Spell,
    Split,
    SplitValue,
    Statement,
    StatementKind,
    Stray,
    Trust,
    When,
    WhenKind,
)
from guide.finding import Place

HERE = Place("sketch.yml", 1, 1)


def place(line: int, file: str = "sketch.yml") -> Place:
    """A place on a line of an imagined file."""
    return Place(file, line, 1)


def day(text: str) -> date:
    """A date written year-month-day."""
    return date.fromisoformat(text)


def on(text: str, latest: str | None = None, where: Place = HERE) -> When:
    """A date, or somewhere between two; a month stands for all of it."""
    first = f"{text}-01" if len(text) == 7 else text
    end = latest or text
    last = _month_end(end) if len(end) == 7 else day(end)
    return When(WhenKind.DATE, text if latest is None else f"{text}/{latest}", where, day(first), last)


def _month_end(text: str) -> date:
    year, month = (int(part) for part in text.split("-"))
    return (date(year + month // 12, month % 12 + 1, 1)) - timedelta(days=1)


def car(number: int, series: str = "c", suffix: str = "", prefix: str = "C") -> CarNumber:
    """A car of a series whose notation is its capital letter and four digits."""
    text = f"{prefix}{number}{suffix}"
    return CarNumber(series, prefix, number, suffix, text, text)


def of(number: CarNumber, after: int = 0, slack: int = 0) -> When:
    """The moment a car was built, or so many cars from it."""
    return When(WhenKind.CAR, number.written, HERE, car=number, cars_after=after, cars_slack=slack)


def by_end(time: When, number: CarNumber, line: int = 1) -> CalendarEntry:
    """A line of a calendar: the last car by the end of a time."""
    return CalendarEntry(
        kind=CalendarKind.LAST_BY_END, time=time, car=number, source="ledger", place=place(line, "numbers/c.yml")
    )


def first_of(time: When, number: CarNumber, line: int = 1) -> CalendarEntry:
    """A line of a calendar: the first car of a time."""
    return CalendarEntry(
        kind=CalendarKind.FIRST_OF, time=time, car=number, source="ledger", place=place(line, "numbers/c.yml")
    )


def run(first: int, last: int | None, built: bool = True, prefix: str = "C") -> Run:
    """A run of numbers, or a gap."""
    return Run(prefix=prefix, first=first, last=last, built=built, source="ledger", place=HERE)


def stray(number: CarNumber, built: When) -> Stray:
    """A car built out of order."""
    return Stray(car=number, built=built, source="ledger", place=HERE)


def series(runs: Iterable[Run], calendar: Iterable[CalendarEntry] = (), **more: Any) -> Series:
    """A number series; `id` c unless said otherwise."""
    values = {"id": "c", "name": "Closed", "body": "closed car", "written": ("C####",)} | more
    return Series(runs=tuple(runs), calendar=tuple(calendar), place=HERE, **values)


def closure(first: str, last: str, only: tuple[str, ...] = ()) -> Closure:
    """Days when nothing was built."""
    return Closure(first=day(first), last=day(last), why="holiday", source="ledger", series=only, place=HERE)


def production(first: str = "1960-01-01", last: str = "1961-12-31", made: int | None = None) -> Production:
    """The whole build."""
    return Production(first=day(first), last=day(last), made=made, source="ledger", place=HERE)


def say(
    kind: str,
    when: When | None = None,
    *,
    form: str = "a",
    mark: str = "m",
    source: str = "bulletin",
    line: int = 10,
    **more: Any,
) -> Statement:
    """A statement."""
    return Statement(
        kind=StatementKind(kind),
        mark=mark,
        form=form,
        spell=more.pop("spell", 1),
        when=when,
        source=source,
        place=place(line, f"marks/{mark}.yml"),
        **more,
    )


EVERY_CAR = Scope()


def form(name: str, spells: int = 1, scope: Scope = EVERY_CAR, kind: FittedAs = FittedAs.FACTORY) -> Form:
    """A form fitted by the works unless said otherwise."""
    return Form(
        id=name,
        name=name.capitalize(),
        answer=name.capitalize(),
        picture=f"{name}.svg",
        fitted_as=(Fitting(kind=kind, place=HERE),),
        scope=scope,
        place=HERE,
        spells=tuple(Spell(form=name, number=number + 1, place=HERE) for number in range(spells)),
    )


def mark(
    statements: Iterable[Statement],
    order: Iterable[str] = (),
    forms: Iterable[Form] | None = None,
    name: str = "m",
    **more: Any,
) -> Mark:
    """A mark with forms a, b, c; `order` names forms, a repeated one its second spell."""
    forms = list(forms) if forms is not None else [form("a"), form("b"), form("c")]
    seen: dict[str, int] = {}
    refs = []
    for one in order:
        seen[one] = seen.get(one, 0) + 1
        refs.append(FormRef(name, one, seen[one]))
    return Mark(
        id=name,
        name=name.capitalize(),
        area="area",
        question="?",
        look="",
        reach=Reach.GLASS,
        survives_share=0.8,
        order=tuple(refs),
        forms={f.id: f for f in forms},
        statements=tuple(statements),
        place=place(1, f"marks/{name}.yml"),
        **more,
    )


SOURCES = {
    one.id: one
    for one in (
        Source(id="ledger", name="The ledger", kind="ledger", trust=Trust.HIGH, place=HERE),
        Source(id="bulletin", name="Bulletin 1", kind="bulletin", trust=Trust.HIGH, place=HERE),
        Source(id="list", name="Parts list", kind="parts list", trust=Trust.GOOD, place=HERE),
        Source(id="register", name="The register", kind="register", trust=Trust.FAIR, place=HERE),
        Source(id="letter", name="A letter", kind="letter", trust=Trust.POOR, place=HERE),
    )
}


def split(name: str, values: Mapping[str, Mapping[str, str]]) -> Split:
    """A split with what each value settles."""
    return Split(
        id=name,
        name=name.capitalize(),
        place=HERE,
        values={
            value: SplitValue(id=value, name=value.capitalize(), settles=settles, place=HERE)
            for value, settles in values.items()
        },
    )


def guide(marks: Iterable[Mark], series: Iterable[Series], made: Production | None = None, **more: Any) -> Guide:
    """A guide with nothing else in it."""
    values: dict[str, Any] = {
        "title": "Sketch",
        "car": "Sketch",
        "subtitle": "",
        "published": PublishedEdition(name="1", place=HERE),
        "language": "en",
        "licence": "",
        "contact": "",
        "productions": (made or production(),),
        "fine_enough_days": 90,
        "mask_numbers": True,
        "splits": {},
        "shares": (),
        "closures": (),
        "sources": SOURCES,
        "areas": {},
        "periods": {},
        "interiors": {},
        "changed_together": (),
        "renewed_together": (),
        "cars_seen": (),
        "care": {},
        "words": {},
        "overrides": {},
        "about": "",
        "place": HERE,
    } | more
    return Guide(marks={one.id: one for one in marks}, series={one.id: one for one in series}, **values)


def period(name: str, first: str, last: str, **more: Any) -> Period:
    """A named span of the build."""
    return Period(id=name, name=name.capitalize(), first=day(first), last=day(last), place=HERE, **more)
