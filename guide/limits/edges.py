"""Limits made printable: the day an edge falls on, the cars about that day, the chain; and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from math import floor
from typing import Any

from guide.finding import Step
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell, Edge, EdgeCar, LimitsResult, day_of
from guide.words.say import Words

__all__ = ["edge_of", "limits_json", "step_json"]


def edge_of(spell: DatedSpell, end: str, side: str, moments: Moments) -> Edge:
    """Return one edge of a spell's "first" or "last", ``side`` being "earliest" or "latest".

    The cars are, for each series, the one that was stated or seen there; else, where no number of it is known for the
    spell and its calendar tells, the first built on that day (earliest) or the last built by its end (latest), cars
    being spread evenly over open days. A series that had no car by then, or none left to build, gives none.
    """
    limits = spell.first if end == "first" else spell.last
    latest, made = side == "latest", moments.guide.production
    ticks = limits.latest if latest else limits.earliest
    day = day_of(ticks, made.first)
    cars: list[EdgeCar] = []
    undated = False
    for series in _series_of(spell, moments):
        line, known = moments.lines[series], spell.by_number(end, series)
        at = known.high if latest else known.low
        if at is not None:
            cars.append(EdgeCar(line.car_at(at), stated=True))
            undated = undated or not line.is_dated
        elif series not in spell.numbers and line.is_dated:
            built = line.cars_by(day) if latest else line.cars_by(day - timedelta(days=1))
            position = floor(built + 1e-9) - (1 if latest else 0)
            if 0 <= position < line.cars and line.production.first <= day <= line.production.last:
                cars.append(EdgeCar(line.car_at(position), stated=False))
    unknown = undated and (day >= made.last if latest else day <= made.first)
    because = limits.because_latest if latest else limits.because_earliest
    return Edge(None if unknown else day, tuple(cars), because)


def _series_of(spell: DatedSpell, moments: Moments) -> list[str]:
    """Return the series in order of number that a spell's cars, being found on its mark, can belong to."""
    own, found = moments.guide.marks[spell.mark].scope.values("series"), spell.scope.values("series")
    return [one for one in found or own or moments.lines if one in moments.lines and moments.lines[one].cars]


def step_json(step: Step, words: Words) -> dict[str, Any]:
    """Return a step of a chain for output, in words."""
    return {**step.output(), "says": words.tell(step.says)}


def limits_json(result: LimitsResult, words: Words, spells: Sequence[DatedSpell] | None = None) -> list[dict[str, Any]]:
    """Return the list ``limits`` of `check --json`: by mark, spell and scope, in declared order; or of some spells."""
    return [_spell_json(spell, result.moments, words) for spell in (result.spells if spells is None else spells)]


def _spell_json(spell: DatedSpell, moments: Moments, words: Words) -> dict[str, Any]:
    ends = {
        end: {side: _edge_json(edge_of(spell, end, side, moments), words) for side in ("earliest", "latest")}
        for end in ("first", "last")
    }
    return {"mark": spell.mark, "form": spell.form, "spell": spell.spell, "scope": spell.scope.as_dict(), **ends}


def _edge_json(edge: Edge, words: Words) -> dict[str, Any]:
    return {
        "date": None if edge.day is None else edge.day.isoformat(),
        "cars": [
            {"series": car.number.series, "number": car.number.written, "stated": car.stated} for car in edge.cars
        ],
        "because": [step_json(step, words) for step in edge.because],
    }
