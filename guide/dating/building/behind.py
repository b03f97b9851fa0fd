"""What stands behind each form: for which cars the works fitted it, between which numbers, and on whose word.

One entry for each spell and kind of car that the limits tell apart, in their order; `guide.dating.fitted` reads them
from the model, and `reasons_of` tells the statements that each rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from guide.dating.model import ModelFitted
from guide.facts.types import Guide, Interior, Scope, Trust, When
from guide.finding import Step, StepKind
from guide.limits.bounds import Bounds, bounds_by_number
from guide.limits.moments import Moments
from guide.limits.scopes import intersect
from guide.limits.types import DatedSpell, LimitsResult
from guide.limits.wording import when_said
from guide.sentence import sentence

__all__ = ["Behind", "Reasons", "behind_forms", "behind_interiors", "reasons_of"]

Behind = Mapping[tuple[str, str], tuple[ModelFitted, ...]]  # mark, form
Reasons = Mapping[tuple[str, str], tuple[tuple[Step, ...], ...]]  # the same, with the steps of each entry
_BELIEVED = (Trust.HIGH, Trust.GOOD)


def behind_forms(limits: LimitsResult) -> Behind:
    """Return what stands behind each form that the works fitted."""
    guide = limits.moments.guide
    found: dict[tuple[str, str], list[ModelFitted]] = {}
    ends = _ends_in_question(limits)
    for spell, in_question, bounds in zip(limits.spells, ends, bounds_by_number(limits), strict=True):
        mark = guide.marks[spell.mark]
        form = mark.forms[spell.form]
        own = next(one.scope for one in form.spells if one.number == spell.spell)
        cars = intersect(mark.scope, form.scope, own, spell.scope)
        if cars is not None and form.dates_a_car:
            entry = ModelFitted(on=dict(cars.parts), numbers=bounds, sure=_is_sure(guide, spell, in_question))
            found.setdefault((mark.id, form.id), []).append(entry)
    return {key: tuple(entries) for key, entries in found.items()}


def _ends_in_question(limits: LimitsResult) -> list[tuple[bool, bool]]:
    """Return of each spell whether its first car and its last are in question: where another form went before or came
    after, and of what stands in no order (an option) where anybody speaks of them.

    What begins with the build needs nobody's word for its first car, nor what ends with it for its last.
    """
    guide = limits.moments.guide
    courses: dict[tuple[str, Scope], list[tuple[int, int]]] = {}
    ends = [(bool(first), bool(last)) for first, last in map(_told_by, limits.spells)]
    for at, spell in enumerate(limits.spells):
        mark = guide.marks[spell.mark]
        order = {(ref.form, ref.spell): place for place, ref in enumerate(mark.order)}
        if (spell.form, spell.spell) in order and not mark.forms[spell.form].is_option:
            courses.setdefault((spell.mark, spell.scope), []).append((order[spell.form, spell.spell], at))
    for course in courses.values():
        for place, (_, at) in enumerate(sorted(course)):
            ends[at] = (place > 0, place + 1 < len(course))
    return ends


def _is_sure(guide: Guide, spell: DatedSpell, in_question: tuple[bool, bool]) -> bool:
    """Tell whether a source of at least good trust tells of each end in question, of either end where none is."""
    told = [_is_believed(guide, (step.source for step in steps)) for steps in _told_by(spell)]
    return all(told[end] for end in (0, 1) if in_question[end]) if any(in_question) else any(told)


def _told_by(spell: DatedSpell) -> tuple[list[Step], list[Step]]:
    """Return the statements behind the first and behind the last of a spell."""
    first, last = (
        [step for step in (*one.because_earliest, *one.because_latest) if step.kind is StepKind.STATEMENT]
        for one in (spell.first, spell.last)
    )
    return first, last


def _is_believed(guide: Guide, sources: Iterable[str]) -> bool:
    return any(source in guide.sources and guide.sources[source].trust in _BELIEVED for source in sources)


def behind_interiors(guide: Guide, moments: Moments) -> Behind:
    """Return what stands behind each interior, as a form of the mark ``interior``."""
    return {
        ("interior", one.id): tuple(
            ModelFitted(
                on=dict(span.scope.parts),
                numbers=_numbers(moments, span.first, span.last),
                sure=_is_believed(guide, [span.source]),
            )
            for span in one.spans
        )
        for one in guide.interiors.values()
    }


def _numbers(moments: Moments, first: When, last: When) -> Bounds:
    bounds: Bounds = {}
    for when, at_end in ((first, False), (last, True)):
        car = moments.car(when) if when.car is not None else None
        if car is not None:
            known = bounds.get(car.line.series.id, (None, None))
            bounds[car.line.series.id] = (known[0], car.high) if at_end else (car.low, known[1])
    return bounds


def reasons_of(limits: LimitsResult) -> Reasons:
    """Return the statements that each entry of `behind_forms` and `behind_interiors` rests on, as steps."""
    guide = limits.moments.guide
    found: dict[tuple[str, str], list[tuple[Step, ...]]] = {}
    for spell in limits.spells:
        first, last = _told_by(spell)
        steps = {(step.place, step.says): step for step in (*first, *last)}
        found.setdefault((spell.mark, spell.form), []).append(tuple(steps.values()))
    for one in guide.interiors.values():
        found["interior", one.id] = [(_span_step(guide, one, at),) for at in range(len(one.spans))]
    return {key: tuple(entries) for key, entries in found.items()}


def _span_step(guide: Guide, interior: Interior, at: int) -> Step:
    span = interior.spans[at]
    source = guide.sources.get(span.source)
    says = sentence(
        "limits.interior-built",
        source=source.name if source else sentence("limits.no-source"),
        interior=interior.name,
        first=when_said(guide, span.first),
        last=when_said(guide, span.last),
    )
    return Step(StepKind.STATEMENT, span.place, span.source, says, 0)
