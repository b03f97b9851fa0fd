"""Chains in words: ties become steps, steps become the sentence that answers "why not later?".

Cars in order of number, their usual disorder and a line of the calendar are many ties and one step: "the
calendar has C1840 built by 31 May 1968". A first that goes before its own last goes without saying. Every
step keeps the ticks of its ties, so the steps of an edge add up to the edge.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from guide.facts.types import FormRef, Guide, Scope, When, WhenKind
from guide.finding import Step, StepKind
from guide.limits.build import Builder
from guide.limits.network import Tie
from guide.limits.types import Limits, day_of
from guide.limits.why import Said, Why
from guide.words.say import Words, lower_first, upper_first

__all__ = ["Sayer", "about_words", "edge_sentence", "form_words", "in_words", "scope_words", "when_words"]

_CODED = re.compile(r"[\dX?~%./\-]+")
_ABOUT = re.compile(r"(\d{4})(?:-(\d\d)(?:-(\d\d))?)?[~%?]")
CALENDAR = "limits.calendar"
_ENDS = ("limits.first", "limits.first-ever", "limits.last", "limits.last-ever")


def when_words(words: Words, guide: Guide, when: When) -> str:
    """Return a when as it is said in a sentence: the editor's own words where they are words."""
    if when.kind is WhenKind.DATE:
        return _date_words(words, when)
    if when.car is not None:
        car, after = when.car.written, when.cars_after
        if when.cars_slack and not re.fullmatch(r"[A-Z0-9 -]+", when.text):
            return when.text
        if not after:
            return car
        if abs(after) == 1:
            return words.say("limits.when.just-after" if after > 0 else "limits.when.just-before", car=car)
        text = "limits.when.cars-after" if after > 0 else "limits.when.cars-before"
        return words.say(text, cars=abs(after), car=car)
    end = "start" if when.kind is WhenKind.START else "end"
    if when.of is None:
        return words.say(f"limits.when.{end}")
    if when.of in guide.series and when.of not in guide.periods:
        return words.say(f"limits.when.{end}-of-series", name=lower_first(guide.series[when.of].name))
    named = guide.periods.get(when.of)
    return words.say(f"limits.when.{end}-of", name=named.name if named else when.of)


def in_words(when: When) -> bool:
    """Tell whether the editor wrote a date in words, as "spring 1969", which are kept as they are."""
    return when.earliest is not None and when.latest is not None and not _CODED.fullmatch(when.text)


def about_words(words: Words, when: When) -> str:
    """Return the day, month or year that an approximate date names, "May 1968"; empty where it names none of them."""
    found = _ABOUT.fullmatch(when.text)
    if found is None:
        return ""
    year, month, day = (int(part) if part else 0 for part in found.groups())
    named = date(year, month or 1, day or 1)
    return words.day(named) if day else words.month_year(named) if month else f"{year}"


def _date_words(words: Words, when: When) -> str:
    low, high = when.earliest, when.latest
    if in_words(when):
        return when.text
    if low is None or high is None:
        day = high or low
        if day is None:
            return when.text
        return words.say("limits.when.by" if low is None else "limits.when.from", day=words.day(day))
    whole = low.day == 1 and high.day == monthrange(high.year, high.month)[1]
    span = words.range(low, high) if whole else words.day_range(low, high)
    about = about_words(words, when) if when.approximate else ""
    return words.say("limits.when.about", when=about, span=span) if about else span


def form_words(words: Words, guide: Guide, ref: FormRef, mark: str = "") -> str:
    """Return a form's name in quotation marks, with its mark's name where the talk is of another mark."""
    owner = guide.marks[ref.mark]
    name = owner.forms[ref.form].name
    if ref.mark == mark:
        return words.say("limits.form", form=name)
    return words.say("limits.form-of", form=name, mark=owner.name)


def scope_words(words: Words, guide: Guide, scope: Scope) -> str:
    """Return the cars of a scope as inside a sentence, "coupé, right-hand drive"; empty for every car."""
    said = []
    for dimension, values in sorted(scope.parts, key=lambda part: part[0] != "series"):
        if dimension == "series":
            names = [lower_first(guide.series[value].name) for value in values]
        elif dimension == "interior":
            named = _interior_words(words, guide, values, scope.values("series"))
            if named:
                said.append(named)
            continue
        else:
            names = [guide.splits[dimension].values[value].name for value in values]
        said.append(words.one_of(names))
    return ", ".join(said)


def _interior_words(words: Words, guide: Guide, values: Sequence[str], series: Sequence[str] | None) -> str:
    """Return interiors by name, or "any interior but ..." where most of those to be had in the series are meant.

    Empty where all of them are: then the interior says nothing.
    """
    left_out = [
        one
        for one in guide.interiors.values()
        if one.id not in values
        and (
            not one.spans
            or any(series is None or set(series) & set(span.scope.values("series") or series) for span in one.spans)
        )
    ]
    if not left_out:
        return ""
    most = len(values) > max(2, len(left_out))
    names = [lower_first(one.name) for one in (left_out if most else (guide.interiors[value] for value in values))]
    return words.say("limits.scope.all_but", interiors=words.one_of(names)) if most else words.one_of(names)


def edge_sentence(words: Words, guide: Guide, limits: Limits, side: str, scope: Scope) -> str:
    """Return "Coupé: not after 31 May 1968, because ..." for one edge; ``side`` is earliest or latest."""
    latest = side == "latest"
    steps = limits.because_latest if latest else limits.because_earliest
    day = day_of(limits.latest if latest else limits.earliest, guide.production.first)
    text = "limits.edge.not-after" if latest else "limits.edge.not-before"
    reasons = join_reasons(words, [words.tell(step.says) for step in steps])
    cars = upper_first(scope_words(words, guide, scope))
    if cars:
        return words.say(f"{text}-for", cars=cars, day=words.day(day), reasons=reasons)
    return words.say(text, day=words.day(day), reasons=reasons)


def join_reasons(words: Words, reasons: Iterable[str]) -> str:
    """Return reasons as one clause: "a, and b, and c"."""
    said = ""
    for reason in reasons:
        said = words.say("limits.and", a=said, b=reason) if said else reason
    return said


@dataclass(frozen=True, slots=True)
class Sayer:
    """Turns ties into steps, for one guide in one language."""

    words: Words
    builder: Builder

    @property
    def guide(self) -> Guide:
        """The guide that is spoken of."""
        return self.builder.guide

    def source_name(self, source: str) -> str:
        """Return a source's name as a librarian would give it; its id where it is not described."""
        known = self.guide.sources.get(source)
        return known.name if known else source

    def steps(self, ties: Sequence[Tie], sign: int, mark: str, form: str, *, of_edge: bool) -> tuple[Step, ...]:
        """Return ties, the point's own first and the origin's last, as steps of ``sign`` times their ticks.

        ``mark`` and ``form`` are what the talk is of. Where the chain is that of an edge, a calendar that
        gives the edge's own day says "by then".
        """
        steps: list[Step] = []
        run: list[Tie] = []
        for tie in ties:
            if tie.why is None:
                run.append(tie)
            elif tie.why.text == CALENDAR:
                steps.append(self._calendar([*run, tie], sign, then=of_edge and not steps_add(steps)))
                run = []
            else:
                order, odd = self._order(run, sign)
                first, *more = self._reasons(tie, sign, mark, form)
                steps += [*order, replace(first, ticks=first.ticks + odd), *more]
                run = []
        order, odd = self._order(run, sign)
        steps += order
        if odd:
            steps[-1] = replace(steps[-1], ticks=steps[-1].ticks + odd)
        return tuple(_told_once(steps))

    def _calendar(self, run: Sequence[Tie], sign: int, *, then: bool) -> Step:
        """Return one step for cars in order of number and the line of the calendar they lead to."""
        why: Why = run[-1].why
        ticks = sign * sum(tie.weight for tie in run)
        by = run[-1].tail == 0
        text = "limits.calendar-by" if by else "limits.calendar-from"
        car = self._car_of(run)
        if then:
            says = self.words.say(f"{text}-then", car=car)
        else:
            moment = sum(tie.weight for tie in run) * (1 if by else -1)
            day = day_of(moment, self.guide.production.first)
            says = self.words.say(text, car=car, day=self.words.day(day))
        return Step(why.kind, why.place, why.source, says, ticks)

    def _car_of(self, run: Sequence[Tie]) -> str:
        """Return the car that a run of ties speaks of: one's own moment before a nominal time."""
        points = [point for tie in run for point in (tie.tail, tie.head)]
        own = [point for point in points if point in self.builder.cars]
        named = (self.builder.name_of(point) for point in (own or points))
        return next(car.written for car in named if car is not None)

    def _order(self, run: Sequence[Tie], sign: int) -> tuple[list[Step], int]:
        """Return a step for two cars set in order by their numbers, and the ticks that no step took.

        One car's place in the order adds ticks, never days; they go to the step beside it.
        """
        cars = list(dict.fromkeys(point for tie in run for point in (tie.tail, tie.head) if point in self.builder.cars))
        ticks = sign * sum(tie.weight for tie in run)
        if len(cars) < 2:
            return [], ticks
        one, other = self.builder.name_of(cars[0]), self.builder.name_of(cars[-1])
        assert one is not None
        assert other is not None
        line = self.builder.lines[one.series]
        earlier, later = sorted((one, other), key=lambda car: line.position(car) or 0)
        says = self.words.say("limits.numbers", earlier=earlier.written, later=later.written)
        return [Step(StepKind.ORDER, line.series.place, "", says, ticks)], 0

    def _reasons(self, tie: Tie, sign: int, mark: str, form: str) -> list[Step]:
        """Return a tie's own reason and whatever adds days of its own to it."""
        why: Why = tie.why
        more = sum(ticks for ticks, _ in why.more)
        steps = [self._step(why, sign * (tie.weight - more), mark, form)]
        steps += [self._step(reason, sign * ticks, mark, form) for ticks, reason in why.more]
        return steps

    def _step(self, why: Why, ticks: int, mark: str, form: str) -> Step:
        return Step(why.kind, why.place, why.source, self.sentence(why, mark, form), ticks)

    def sentence(self, why: Why, mark: str = "", form: str = "") -> str:
        """Return a reason in words, where the talk is of a form of a mark."""
        slots = {name: self._slot(value, mark) for name, value in why.slots.items()}
        page = slots.pop("page", "")
        if page:
            text = "limits.page" if re.match(r"\d", str(page)) else "limits.page-words"
            slots["source"] = self.words.say(text, source=slots["source"], page=page)
        return self.words.say(self._template(why, mark, form), **slots)

    def _template(self, why: Why, mark: str, form: str) -> str:
        about, when = why.slots.get("form"), why.slots.get("when")
        same = isinstance(about, FormRef) and (about.mark, about.form) == (mark, form)
        if why.text in _ENDS and not same:
            return f"{why.text}-of"
        if why.text == "limits.seen" and isinstance(when, When) and when.car is None:
            return "limits.seen-day"
        return why.text

    def _slot(self, value: Said, mark: str) -> str | int:
        if isinstance(value, When):
            return when_words(self.words, self.guide, value)
        if isinstance(value, FormRef):
            return form_words(self.words, self.guide, value, mark)
        if isinstance(value, Scope):
            return scope_words(self.words, self.guide, value)
        if isinstance(value, tuple):
            return self.words.one_of(car.written for car in value)
        return self.words.day(value) if isinstance(value, date) else value


def _told_once(steps: Sequence[Step]) -> list[Step]:
    """Return steps with one that says again what the step before it said made part of that step.

    A statement about every car passes through one car from one kind of car to another: it is one reason all the same.
    """
    told: list[Step] = []
    for step in steps:
        if told and (told[-1].place, told[-1].says) == (step.place, step.says):
            told[-1] = replace(told[-1], ticks=told[-1].ticks + step.ticks)
        else:
            told.append(step)
    return told


def steps_add(steps: Sequence[Step]) -> int:
    """Return how many ticks steps add up to."""
    return sum(step.ticks for step in steps)
