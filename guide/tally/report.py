"""What the cars seen come to, told: section by section, for the editor with file, line and full number; for readers.

Both hear the same. Readers hear numbers as the guide publishes them, no sheet and no line, and have nothing to paste.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from guide.facts.types import CarSeen, StatementKind
from guide.finding import Place
from guide.limits.offered import untimely_cars
from guide.limits.types import DatedSpell, LimitsResult, day_of
from guide.limits.wording import scope_said
from guide.sentence import (
    Phrase,
    Sentence,
    Value,
    all_of,
    count,
    day,
    day_range,
    duration,
    number,
    sentence,
    upper_first,
)
from guide.tally.changeovers import Changeover, Placed
from guide.tally.count import Tally
from guide.tally.how_many import SeriesSeen
from guide.tally.look_for import LookFor
from guide.tally.suggest import Effect, Suggestion, paste_of_survival

__all__ = [
    "EDITOR",
    "Audience",
    "ReportLine",
    "ReportSection",
    "changeover_lines",
    "name_of_car",
    "range_said",
    "report",
]

_NAMED = 8  # parts of a car that fits nothing, as readers hear them: more would be read by nobody
_EDITOR_LEADS = ("contradict", "suggested", "survival")  # where the editor hears what to do


@dataclass(frozen=True, slots=True)
class Audience:
    """Who hears it: how numbers are shown, and whether whole. Where they are not, no figure gives a number away: none
    counts from a number that is published to one that is not, and what hangs on the highest is rounded to hundreds.
    Only the editor hears what a car without a number is filed under: it may be the name of whoever noted it."""

    number: Callable[[str], str]
    whole: bool
    editor: bool = False

    def __call__(self, number: str) -> str:
        """Return a number as it is shown."""
        return self.number(number)

    def car(self, car: CarSeen) -> Value:
        """Return what a car is called."""
        if car.numbers or car.number_text:
            return self(name_of_car(car))
        return sentence("tally.no-number.of", id=car.id) if self.editor else sentence("tally.no-number")

    def about(self, cars: int) -> Phrase:
        """Return how many cars, rounded where the figure would give a number away."""
        return number(cars if self.whole else 100 * max(1, round(cars / 100)))


EDITOR = Audience(str, whole=True, editor=True)


@dataclass(frozen=True, slots=True)
class ReportLine:
    """One thing told, where it stands, and what may be pasted."""

    says: Value
    places: tuple[Place, ...] = ()
    paste: str = ""


@dataclass(frozen=True, slots=True)
class ReportSection:
    """Things of one kind; ``id`` names the kind."""

    id: str
    lines: tuple[ReportLine, ...]
    for_editor: bool = False

    @property
    def title(self) -> Sentence:
        """Its heading."""
        return sentence(f"tally.{self.id}.title")

    @property
    def lead(self) -> Sentence:
        """What it is."""
        whose = ".editor" if self.for_editor and self.id in _EDITOR_LEADS else ""
        return sentence(f"tally.{self.id}.lead{whose}")


def name_of_car(car: CarSeen) -> str:
    """Return what a car is called among editors: its number, whole, or what it is filed under."""
    return next((one.written for one in car.numbers), car.number_text or car.id)


def report(
    tally: Tally, shown: Audience, stated: Sequence[Effect] | None = None, *, without: Container[str] = ()
) -> tuple[ReportSection, ...]:
    """Return what the cars come to, what contradicts the facts first, without those sections that have nothing.

    ``stated`` is given for the editor: what may be stated, with what it does; None tells what readers hear.
    """
    kinds: tuple[tuple[str, Callable[[Tally, Audience], Iterator[ReportLine]]], ...] = (
        ("contradict", _contradictions),
        ("suggested", partial(_suggested, stated=stated)),
        ("survival", _survival),
        ("disagree", _disagreements),
        ("unexplained", _alike),
        ("unfit", _unfit),
        ("twice", _twice),
        ("changeovers", _changeovers),
        ("series", _series),
        ("look-for", _look_for),
    )
    sections = (
        ReportSection(kind, tuple(lines(tally, shown)), stated is not None)
        for kind, lines in kinds
        if kind not in without
    )
    told = tuple(section for section in sections if section.lines)
    if stated is not None:
        return told
    return tuple(ReportSection(section.id, tuple(ReportLine(line.says) for line in section.lines)) for section in told)


def _contradictions(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    """Yield each car that a first or a last does not allow; for readers all that one of them does not in one line.

    Then what untouched cars show out of its time.
    """
    guide = tally.limits.moments.guide
    gathered: dict[tuple[str, str, str], list[Value]] = {}
    for one in tally.limits.contradicted:
        kind = "last" if one.statement.kind is StatementKind.LAST else "first"
        mark, form = guide.marks[one.mark].name, guide.marks[one.mark].forms[one.statement.form].name
        for misfit in one.misfits:
            car = shown.car(misfit.car)
            if not shown.whole:
                gathered.setdefault((kind, mark, form), []).append(car)
                continue
            says = sentence(
                f"tally.contradict.{kind}-by-{one.axis}",
                mark=mark,
                form=form,
                car=car,
                n=misfit.beyond,
                by=duration(misfit.beyond),
            )
            yield ReportLine(says, (one.statement.place, misfit.report.place))
    for (kind, mark, form), cars in gathered.items():
        named = list(dict.fromkeys(cars))
        says = sentence(f"tally.contradict.{kind}", mark=mark, form=form, cars=all_of(named), n=len(named))
        yield ReportLine(says)
    for late in untimely_cars(tally.limits):
        part, name = late.names
        cars = [shown.car(one.car) for one in late.cars]
        says = sentence(f"tally.contradict.form-{late.way}", mark=part, form=name, cars=all_of(cars), n=len(cars))
        yield ReportLine(says, (late.place, *(one.report.place for one in late.cars)))


def _suggested(tally: Tally, shown: Audience, stated: Sequence[Effect] | None) -> Iterator[ReportLine]:
    for one in tally.suggestions if stated is None else ():
        yield ReportLine(_suggestion_said(tally, one, shown))
    for effect in stated or ():
        one = effect.suggestion
        says = sentence(
            "tally.suggested.both",
            what=_suggestion_said(tally, one, shown),
            effect=_effect_said(tally.limits, effect.before, effect.after),
        )
        says = sentence(
            f"tally.suggested.{one.at.way}{'.within' if one.at.way == 'begun' and one.is_within else ''}",
            says=says,
            line=str(one.at.line.line),
            n=one.at.inward,
            sign="{" if one.at.begins else "[",
            open="{",
            close="}",
        )
        if not one.car.source:
            says = sentence("tally.suggested.no-source", says=says, key=", source: …")
        yield ReportLine(says, (one.at.line,), one.paste)


def _suggestion_said(tally: Tally, one: Suggestion, shown: Audience) -> Sentence:
    mark = tally.limits.moments.guide.marks[one.mark]
    way = "later" if one.later_than_known else "earlier"
    return sentence(
        f"tally.suggested.{way}" if shown.whole else f"tally.suggested.{way}.masked",
        mark=mark.name,
        form=mark.forms[one.form].name,
        car=shown(one.number.written),
        by=duration(one.days),
    )


def _effect_said(limits: LimitsResult, before: DatedSpell, after: DatedSpell) -> Value:
    """Return how the limits of a spell become narrower."""
    origin, said = limits.moments.guide.production.first, []
    for end in ("first", "last"):
        was, now = getattr(before, end), getattr(after, end)
        days = [day_of(one, origin) for one in (was.earliest, was.latest, now.earliest, now.latest)]
        if days[:2] != days[2:]:
            said.append(sentence(f"tally.effect.{end}", was=day_range(*days[:2]), now=day_range(*days[2:])))
    return all_of(said) if said else sentence("tally.effect.by-number")


def _survival(tally: Tally, _shown: Audience) -> Iterator[ReportLine]:
    guide = tally.limits.moments.guide
    for one in tally.survives_otherwise:
        mark = guide.marks[one.mark]
        figures = {"low": _percent(one.low), "high": _percent(one.high), "guide": _percent(one.guide_says)}
        says = sentence("tally.survival.says", mark=mark.name, own=one.own, of=one.of, **figures)
        yield ReportLine(says, (mark.place,), paste_of_survival(one))


def _percent(share: float) -> int:
    return round(100 * share)


def _disagreements(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    guide = tally.limits.moments.guide
    for known in tally.known:
        for told in known.car.disagreements:
            split = guide.splits.get(told.mark)
            what = guide.marks[told.mark].name if told.mark in guide.marks else split.name if split else told.mark
            answers = all_of(f"`{answer}`" for answer in dict.fromkeys(one.answer for one in told.answers))
            way = "one-day" if told.on_one_day else "two-days"
            says = sentence(f"tally.disagree.{way}", car=upper_first(shown.car(known.car)), mark=what, answers=answers)
            yield ReportLine(says, tuple(one.place for one in told.answers))


def _alike(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    for group in tally.alike:
        says = sentence(
            "tally.unexplained.says",
            cars=all_of(shown.car(car) for car in group.cars),
            n=len(group.cars),
            count=count(len(group.cars)),
            forms=all_of(_form_said(tally, mark, form) for mark, form in group.forms.items()),
            times=number(max(1, round(1 / group.chance)) if group.chance > 1e-9 else 10**9),
        )
        yield ReportLine(says, tuple(car.place for car in group.cars))


def _form_said(tally: Tally, mark: str, form: str) -> Sentence:
    of = tally.limits.moments.guide.marks[mark]
    return sentence("tally.form", mark=of.name, form=of.forms[form].name)


def _unfit(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    for one in tally.unfit:
        named = len(one.apart) if shown.whole or len(one.apart) <= _NAMED else _NAMED - 1
        told: list[Value] = [_form_said(tally, report.mark, report.forms[0]) for report in one.apart[:named]]
        if left := len(one.apart) - named:
            told.append(sentence("tally.unfit.more", count=count(left)))
        parts = all_of(told)
        car = upper_first(shown.car(one.car))
        yield ReportLine(sentence(f"tally.unfit.{one.way}", car=car, parts=parts, job=one.renewed), (one.car.place,))


def _twice(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    for claimed, cars in tally.claimed_twice.items():
        places = [
            known.car.place for known in tally.known if claimed in (number.written for number in known.car.numbers)
        ]
        yield ReportLine(sentence("tally.twice.says", number=shown(claimed), n=cars, cars=count(cars)), tuple(places))


def _changeovers(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    for mark in tally.marks:
        yield from changeover_lines(tally, mark, shown)


def changeover_lines(tally: Tally, mark: str, shown: Audience) -> Iterator[ReportLine]:
    """Yield the changeovers of a mark as the cars have them, those of which both forms were found."""
    guide = tally.limits.moments.guide
    for one in tally.marks[mark].changeovers:
        best = one.best
        if best is None:
            continue
        says = sentence(
            "tally.changeovers.says" if one.scope.parts else "tally.changeovers.says.all",
            mark=guide.marks[mark].name,
            old=one.course.mark.forms[one.old].name,
            new=one.course.mark.forms[one.new].name,
            scope=scope_said(guide, one.scope),
            best=_place_said(tally, one, best.place, shown),
            low=_place_said(tally, one, best.low, shown),
            high=_place_said(tally, one, best.high, shown),
            ends=_ends_said(one, shown),
        )
        places = [end.found.report.place for end in (one.earliest_new, one.latest_old) if end is not None]
        yield ReportLine(says, tuple(places))


def _ends_said(one: Changeover, shown: Audience) -> Value:
    """Return the latest old and the earliest new car among those that are sure."""

    def said(end: Placed) -> Value:
        return shown.car(end.found.known.car)

    if one.latest_old is None or one.earliest_new is None:
        return sentence("tally.changeovers.none")
    return sentence("tally.changeovers.ends", old=said(one.latest_old), new=said(one.earliest_new))


def _place_said(tally: Tally, one: Changeover, place: int, shown: Audience) -> Value:
    """Return a place of a changeover: a number, or a day."""
    if not one.series:
        return day(date.fromordinal(place))
    return shown(tally.limits.moments.every[one.series].car_at(place).written)


def _series(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    series = tally.limits.moments.guide.series
    for one in tally.series:
        yield ReportLine(_built_said(one, str(series[one.series].name), shown))
        if one.in_sight is not None:
            way = "tally.series.in-sight" if one.in_sight.high is not None else "tally.series.in-sight.open"
            figures = {"estimate": number(one.in_sight.estimate), "low": number(one.in_sight.low)}
            yield ReportLine(
                sentence(way, series=str(series[one.series].name), high=number(one.in_sight.high or 0), **figures)
            )


def _built_said(one: SeriesSeen, name: str, shown: Audience) -> Sentence:
    figures = {"estimate": one.built.estimate, "low": one.built.low, "high": one.built.high}
    return sentence(
        "tally.series.says" if one.stated is not None else "tally.series.says.open",
        series=name,
        n=one.seen,
        seen=number(one.seen),
        stated=number(one.stated or 0),
        **{name: shown.about(value) for name, value in figures.items()},
    )


def _look_for(tally: Tally, shown: Audience) -> Iterator[ReportLine]:
    marks = tally.limits.moments.guide.marks
    for one in tally.look_for:
        first, last = range_said(tally, one, shown)
        says = sentence(
            "tally.look-for.says",
            first=first,
            last=last,
            marks=all_of(marks[mark].name for mark in one.marks),
            by=duration(one.days),
        )
        yield ReportLine(says)


def range_said(tally: Tally, one: LookFor, shown: Audience = EDITOR) -> tuple[str, str]:
    """Return the first and the last number of a range that is worth looking for."""
    line = tally.limits.lines[one.series]
    return shown(line.car_at(one.first).written), shown(line.car_at(one.last).written)
