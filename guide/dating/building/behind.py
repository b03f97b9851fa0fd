"""What stands behind each form: for which cars the works fitted it, between which numbers, and on whose word.

One entry for each spell and kind of car that the limits tell apart, in their order; `guide.dating.fitted` reads them
from the model, and `reasons_of` tells the statements that each rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from guide.dating.model import ModelFitted
from guide.facts.types import Guide, Interior, Scope, Trust, When
from guide.finding import Step, StepKind
from guide.limits.moments import Moments
from guide.limits.scopes import intersect
from guide.limits.types import DatedSpell, LimitsResult
from guide.limits.wording import when_said, word_of
from guide.sentence import sentence

__all__ = ["Behind", "Reasons", "behind_forms", "behind_interiors", "reasons_of"]

Behind = Mapping[tuple[str, str], tuple[ModelFitted, ...]]  # mark, form
Reasons = Mapping[tuple[str, str], tuple[tuple[Step, ...], ...]]  # the same, with the steps of each entry
Bounds = dict[str, tuple[int | None, int | None]]
"""By series the first and last position that papers name; None where they name none."""
_BELIEVED = (Trust.HIGH, Trust.GOOD)


def behind_forms(limits: LimitsResult) -> Behind:
    """Return what stands behind each form that the works fitted."""
    guide = limits.moments.guide
    found: dict[tuple[str, str], list[ModelFitted]] = {}
    sure_of = _is_sure(limits)
    for at, spell in _in_order(limits):
        mark = guide.marks[spell.mark]
        form = mark.forms[spell.form]
        own = next(one.scope for one in form.spells if one.number == spell.spell)
        cars = intersect(mark.scope, form.scope, own, spell.scope)
        if cars is not None and form.dates_a_car:
            entry = ModelFitted(on=dict(cars.parts), numbers=_stated_numbers(spell), sure=sure_of[at])
            found.setdefault((mark.id, form.id), []).append(entry)
    return {key: tuple(entries) for key, entries in found.items()}


def _in_order(limits: LimitsResult) -> list[tuple[int, DatedSpell]]:
    """Return the spells with their places in the limits, in an order that hangs on no order of statements."""
    return sorted(enumerate(limits.spells), key=lambda one: (one[1].spell, one[1].scope.parts))


def _stated_numbers(spell: DatedSpell) -> Bounds:
    """Return the first and last position of each series that papers name for a spell."""
    found: Bounds = {}
    for series, known in spell.numbers.items():
        first = known.first.low if known.first.says != "" else None
        last = known.last.high if known.last.says != "" else None
        if first is not None or last is not None:
            found[series] = (first, last)
    return found


def _is_sure(limits: LimitsResult) -> list[bool]:
    """Tell of each spell whether a source of at least good trust tells when it began and when it ended.

    Either of the two forms of a changeover may be told of. What begins with the build needs nobody's word for its first
    car, nor what ends with it for its last; of an option, and of what stands in no order, each end that is spoken of
    counts. Where no end is in question somebody of good trust has to speak of the form at all.
    """
    guide = limits.moments.guide
    told = [
        [_is_believed(guide, (step.source for step in steps)) for steps in _told_by(spell)] for spell in limits.spells
    ]
    in_question: list[list[bool]] = []
    for (first, last), spell in zip(told, limits.spells, strict=True):
        spoken = _told_by(spell)
        in_question.append([believed for believed, steps in zip((first, last), spoken, strict=True) if steps])
    for course in _courses(limits):
        for place, at in enumerate(course):
            began = [told[at][0] or told[course[place - 1]][1]] if place > 0 else []
            ended = [told[at][1] or told[course[place + 1]][0]] if place + 1 < len(course) else []
            in_question[at] = began + ended
    return [all(asked) if asked else any(of_spell) for asked, of_spell in zip(in_question, told, strict=True)]


def _courses(limits: LimitsResult) -> list[list[int]]:
    """Return the spells that follow one another on one kind of car, in order; those of no order stand in none."""
    guide = limits.moments.guide
    found: dict[tuple[str, Scope], list[tuple[int, int]]] = {}
    for at, spell in enumerate(limits.spells):
        mark = guide.marks[spell.mark]
        order = {(ref.form, ref.spell): place for place, ref in enumerate(mark.order)}
        if (spell.form, spell.spell) in order and not mark.forms[spell.form].is_option:
            found.setdefault((spell.mark, spell.scope), []).append((order[spell.form, spell.spell], at))
    return [[at for _, at in sorted(course)] for course in found.values()]


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
    for _, spell in _in_order(limits):
        first, last = _told_by(spell)
        steps = {(step.place, step.says): step for step in (*first, *last)}
        found.setdefault((spell.mark, spell.form), []).append(tuple(steps.values()))
    for one in guide.interiors.values():
        found["interior", one.id] = [(_span_step(guide, one, at),) for at in range(len(one.spans))]
    return {key: tuple(entries) for key, entries in found.items()}


def _span_step(guide: Guide, interior: Interior, at: int) -> Step:
    span = interior.spans[at]
    says = sentence(
        "limits.interior-built",
        source=word_of(guide, span.source),
        interior=interior.name,
        first=when_said(guide, span.first),
        last=when_said(guide, span.last),
    )
    return Step(StepKind.STATEMENT, span.place, span.source, says, 0)
