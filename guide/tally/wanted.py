"""What nobody makes, ranked by how many cars want it: built with it, and without their own today.

How many were built is the guide's count, or worked out from the days of the form; how many have lost theirs is the
guide's word, which it dates cars with too, or what the cars seen tell where that can hardly be right
(`guide.tally.survival`). The range takes in both, with the interval of the cars seen. Nobody knows how many cars are
left, so the figure is of all that were built, and its order holds as far as cars of every time last alike. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from guide.dating.key import Cars, Key
from guide.facts.types import Count, CountKind, Form, Mark
from guide.limits.types import LimitsResult
from guide.tally.survival import ENOUGH, Survival

__all__ = ["Wanted", "unasked", "wanted"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """A form that nobody makes, and how many cars want it.

    ``counts`` are those of cars built with it, none where that is worked out; ``survival`` is what the cars seen tell,
    None where too few were looked at. ``cars`` is the figure and ``low`` and ``high`` its range; None where nobody
    knows how many were built.
    """

    mark: Mark
    form: Form
    counts: tuple[Count, ...]
    built: int | None
    survival: Survival | None
    cars: int | None
    low: int = 0
    high: int = 0


def wanted(limits: LimitsResult, key: Key, survival: Mapping[str, tuple[Survival, ...]]) -> list[Wanted]:
    """Return the forms that nobody makes, those first that most cars want; ``survival`` as the tally has it."""
    found = [
        _wanted(limits, key, survival, mark, form)
        for mark in limits.moments.guide.marks.values()
        for form in mark.forms.values()
        if form.dates_a_car and form.nobody_makes is not None
    ]
    return sorted(found, key=lambda one: -1 if one.cars is None else one.cars, reverse=True)


def unasked(limits: LimitsResult) -> int:
    """Return of how many forms that the works fitted nobody has said what can be had."""
    marks = limits.moments.guide.marks.values()
    return sum(form.dates_a_car and not form.supply for mark in marks for form in mark.forms.values())


def _wanted(
    limits: LimitsResult, key: Key, survival: Mapping[str, tuple[Survival, ...]], mark: Mark, form: Form
) -> Wanted:
    counts = tuple(one for one in form.counts if one.kind is CountKind.BUILT)
    figures = [one.about for one in counts] or list(_worked_out(limits, key, mark, form))
    told = next((one for one in survival.get(mark.id, ())[:1] if one.of >= ENOUGH), None)
    own = told.share if told and told.differs else mark.survives_share
    kept = [mark.survives_share, *((told.low, told.high) if told else ())]
    if not figures:
        return Wanted(mark=mark, form=form, counts=counts, built=None, survival=told, cars=None)
    built = round(sum(figures) / len(figures))
    return Wanted(
        mark=mark,
        form=form,
        counts=counts,
        built=built,
        survival=told,
        cars=round(built * (1 - own)),
        low=round(min(figures) * (1 - max(kept))),
        high=round(max(figures) * (1 - min(kept))),
    )


def _worked_out(limits: LimitsResult, key: Key, mark: Mark, form: Form) -> Iterator[int]:
    """Yield how many cars were built with a form as the model has it; nothing where the whole build is not counted."""
    guide = limits.moments.guide
    stated = [one.made for one in guide.productions]
    made = sum(line.cars for line in limits.lines.values()) or (
        sum(one for one in stated if one is not None) if None not in stated else 0
    )
    if made and mark.id in key.prepared.marks_by_id:
        yield round(made * key.share_of(Cars(built=(mark.id, form.id))))
