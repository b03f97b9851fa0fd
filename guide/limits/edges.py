"""Limits made printable: the day an edge falls on, the cars about that day, the chain; and as JSON."""

from __future__ import annotations

from datetime import timedelta
from math import floor
from typing import Any

from guide.facts.types import CarNumber, Guide, Scope
from guide.finding import TICKS_PER_DAY, Step
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell, Edge, Limits, LimitsResult, day_of
from guide.words.say import Words

__all__ = ["edge_of", "limits_json", "step_json", "step_output"]


def edge_of(limits: Limits, side: str, scope: Scope, moments: Moments) -> Edge:
    """Return one edge of limits, ``side`` being earliest or latest, for the cars of a scope.

    The cars are, for each series of the scope, the first built on that day (earliest) or the last built by
    its end (latest), cars being spread evenly over open days; a series that had no car by then, or none left to
    build, gives none.
    """
    lines = moments.lines
    latest = side == "latest"
    day = day_of(limits.latest if latest else limits.earliest, moments.guide.production.first)
    cars: list[CarNumber] = []
    for series in scope.values("series") or tuple(lines):
        line = lines.get(series)
        if line is None or not line.cars:
            continue
        built = line.cars_by(day) if latest else line.cars_by(day - timedelta(days=1))
        position = floor(built + 1e-9) - (1 if latest else 0)
        if 0 <= position < line.cars:
            cars.append(line.car_at(position))
    return Edge(day, tuple(cars), limits.because_latest if latest else limits.because_earliest)


def step_output(step: Step) -> dict[str, Any]:
    """Return a step of a chain for output, what it says still a sentence; its days are exact."""
    return {
        "kind": str(step.kind),
        "file": step.place.file,
        "line": step.place.line,
        "column": step.place.column,
        "source": step.source,
        "says": step.says,
        "adds_days": step.ticks / TICKS_PER_DAY,
    }


def step_json(step: Step, words: Words) -> dict[str, Any]:
    """Return a step of a chain for output, in words."""
    return {**step_output(step), "says": words.tell(step.says)}


def limits_json(result: LimitsResult, words: Words) -> list[dict[str, Any]]:
    """Return the list ``limits`` of `check --json`: by mark, spell and scope, in declared order."""
    return [_spell_json(spell, result.moments, words) for spell in result.spells]


def _spell_json(spell: DatedSpell, moments: Moments, words: Words) -> dict[str, Any]:
    scope = _with_mark(moments.guide, spell)
    ends = {
        end: {side: _edge_json(edge_of(limits, side, scope, moments), words) for side in ("earliest", "latest")}
        for end, limits in (("first", spell.first), ("last", spell.last))
    }
    return {"mark": spell.mark, "form": spell.form, "spell": spell.spell, "scope": spell.scope.as_dict(), **ends}


def _with_mark(guide: Guide, spell: DatedSpell) -> Scope:
    """Return a spell's scope with the series that its mark is found on."""
    series = guide.marks[spell.mark].scope.values("series")
    if series is None or spell.scope.values("series") is not None:
        return spell.scope
    return Scope(tuple(sorted((*spell.scope.parts, ("series", series)))))


def _edge_json(edge: Edge, words: Words) -> dict[str, Any]:
    return {
        "date": edge.day.isoformat(),
        "cars": [{"series": car.series, "number": car.written} for car in edge.cars],
        "because": [step_json(step, words) for step in edge.because],
    }
