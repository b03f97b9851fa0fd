"""Chains as reasons: ties become steps, steps become the sentence that answers "why not later?".

Cars in order of number, their usual disorder and a line of the calendar are many ties and one step: "the
calendar has C1840 built by 31 May 1968". A first that goes before its own last goes without saying. Every
step keeps the ticks of its ties, so the steps of an edge add up to the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from guide.facts.types import FormRef, Guide
from guide.finding import Step, StepKind
from guide.limits.build import Builder
from guide.limits.network import Tie
from guide.limits.types import Why, day_of
from guide.limits.wording import form_said
from guide.sentence import Sentence, Value, chained, day, sentence

__all__ = ["CALENDAR_BY", "CALENDAR_FROM", "Explainer", "because", "steps_add"]

CALENDAR = "limits.calendar"
CALENDAR_BY, CALENDAR_FROM = f"{CALENDAR}-by", f"{CALENDAR}-from"
_ENDS = ("first", "first-ever", "last", "last-ever")


def because(steps: Sequence[Step]) -> Value:
    """Return steps as one clause: "a, and b, and c"."""
    return chained("limits.and", (step.says for step in steps))


@dataclass(frozen=True, slots=True)
class Explainer:
    """Turns the ties of one guide into steps."""

    builder: Builder

    @property
    def guide(self) -> Guide:
        """The guide that is talked about."""
        return self.builder.guide

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
        text, car = CALENDAR_BY if by else CALENDAR_FROM, self._car_of(run)
        if then:
            return Step(why.kind, why.place, why.source, sentence(f"{text}-then", car=car), ticks)
        moment = sum(tie.weight for tie in run) * (1 if by else -1)
        on = day(day_of(moment, self.guide.production.first))
        return Step(why.kind, why.place, why.source, sentence(text, car=car, day=on), ticks)

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
        says = sentence("limits.numbers", earlier=earlier.written, later=later.written)
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

    def sentence(self, why: Why, mark: str = "", form: str = "") -> Sentence:
        """Return a reason, where the talk is of a form of a mark."""
        about, way = why.slots.get("form"), why.text.removeprefix("limits.")
        same = isinstance(about, FormRef) and (about.mark, about.form) == (mark, form)
        text = f"limits.stated.{way}" if way in _ENDS and not same else why.text
        values = {
            name: form_said(self.guide, value, mark) if isinstance(value, FormRef) else value
            for name, value in why.slots.items()
        }
        return sentence(text, **values)


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
