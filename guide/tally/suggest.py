"""What an editor may state of the cars seen: lines ready to paste, and what each would do.

A car believed untouched, or whose part is believed its own, may be stated under its form as seen. One car may be
misread, or its number; so for each side of a changeover it is the car nearest to it from which the others agree that
the change lies further on, with a chance below one in a thousand of being otherwise (`guide.tally.single_change`). The
line names no more kinds of car than the mark's own statements tell apart, or it would part them further and say less.

What a line does is found by working the limits out with it. One that clashes with what stands is no suggestion: what it
contradicts is told instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from guide.facts.types import CarNumber, CarSeen, Mark, Scope, StatedAt, Statement, StatementKind, When, WhenKind
from guide.limits.derive import derive_limits
from guide.limits.scopes import EVERY_CAR, Dimensions
from guide.limits.types import DatedSpell, LimitsResult, day_of
from guide.tally.changeovers import Changeover, Placed
from guide.tally.survival import Survival

__all__ = ["Effect", "Suggestion", "effects_of", "paste_of_survival", "suggestions_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Suggestion:
    """A car that an editor may state under a form, as seen."""

    mark: str
    form: str
    spell: DatedSpell
    car: CarSeen
    number: CarNumber
    scope: Scope  # which the line has to name
    later_than_known: bool  # a car later than the last so far; otherwise earlier than the first
    days: int  # how far it would move that limit, by what the calendar allows the car
    at: StatedAt  # where it is to be pasted
    is_within: bool  # brackets or braces, also those that the one before it brings

    @property
    def paste(self) -> str:
        """The line, or lines, as they are to stand, but for how far they are moved in; within brackets or braces, what
        goes right after the sign that opens them."""
        parts = [f"seen: {self.number.written}"]
        parts += [f"source: {self.car.source}"] if self.car.source else []
        if self.scope.parts:
            named = (f"{name}: {_one_or_list(values)}" for name, values in self.scope.parts)
            parts.append(f"for: {{{', '.join(named)}}}")
        line = f"{{{', '.join(parts)}}}"
        if self.is_within:
            return f"stated: [{line}]," if self.at.begins else f"{line},"
        return f"stated:\n  - {line}" if self.at.begins else f"- {line}"

    @property
    def statement(self) -> Statement:
        """The statement that the line makes."""
        when = When(kind=WhenKind.CAR, text=self.number.written, place=self.at.line, car=self.number)
        return Statement(
            kind=StatementKind.SEEN,
            mark=self.mark,
            form=self.form,
            spell=self.spell.spell,
            when=when,
            source=self.car.source,
            scope=self.scope,
            place=self.at.line,
        )


@dataclass(frozen=True, slots=True)
class Effect:
    """A suggestion with the limits of its spell before and after, in the kind of car that it is."""

    suggestion: Suggestion
    before: DatedSpell
    after: DatedSpell


def _one_or_list(values: Sequence[str]) -> str:
    return values[0] if len(values) == 1 else f"[{', '.join(values)}]"


def suggestions_of(
    limits: LimitsResult, dimensions: Dimensions, mark: Mark, changeovers: Iterable[Changeover]
) -> tuple[Suggestion, ...]:
    """Return, for each side of each changeover, the car to be stated, those that move most first."""
    best: dict[tuple[str, int, Scope, bool], Suggestion] = {}
    for changeover in changeovers:
        if changeover.series in limits.lines:
            for one in _either_side(limits, dimensions, mark, changeover):
                slot = (one.form, one.spell.spell, one.spell.scope, one.later_than_known)
                if slot not in best or one.days > best[slot].days:
                    best[slot] = one
    return tuple(sorted(best.values(), key=lambda one: (-one.days, one.car.id, one.form)))


def _either_side(
    limits: LimitsResult, dimensions: Dimensions, mark: Mark, changeover: Changeover
) -> Iterator[Suggestion]:
    stated = {
        (one.form, one.when.car.written)
        for one in mark.statements
        if one.kind is StatementKind.SEEN and one.when and one.when.car
    }
    origin, old, new = limits.moments.guide.production.first, changeover.at, changeover.at + 1
    sure = [one for one in changeover.cars if one.found.is_sure]
    before = [one for one in sure if one.found.report.forms[0] == changeover.old]
    after = [one for one in sure if one.found.report.forms[0] == changeover.new]
    before = [one for one in before if one.place < changeover.surely[0]]
    after = [one for one in after if one.place >= changeover.surely[1]]
    for nearest, at in (
        (max(before, key=lambda one: one.place, default=None), old),
        (min(after, key=lambda one: one.place, default=None), new),
    ):
        if nearest is None or nearest.found.known.days is None:
            continue
        spell, days = changeover.course.spells[at], nearest.found.known.days
        later = at == old
        moves = (
            (days[0] - day_of(spell.last.earliest, origin)).days
            if later
            else (day_of(spell.first.latest, origin) - days[1]).days
        )
        number = next(one for one in nearest.found.known.car.numbers if one.series == changeover.series)
        if moves > 0 and (changeover.old if later else changeover.new, number.written) not in stated:
            yield _suggested(limits, dimensions, mark, spell, nearest, number, later=later, days=moves)


def _suggested(
    limits: LimitsResult,
    dimensions: Dimensions,
    mark: Mark,
    spell: DatedSpell,
    one: Placed,
    number: CarNumber,
    *,
    later: bool,
    days: int,
) -> Suggestion:
    of_form = next(one for one in mark.forms[spell.form].spells if one.number == spell.spell)
    own = dimensions.close(dimensions.of_car(number)) or EVERY_CAR
    target = next(
        (
            other.scope
            for other in limits.spells
            if (other.mark, other.form, other.spell) == (mark.id, spell.form, spell.spell)
            and one.found.known.scope is not None
            and one.found.known.scope.within(other.scope)
        ),
        spell.scope,
    )
    named = [(name, values) for name, values in target.parts if not set(own.values(name) or ("",)) <= set(values)]
    at = of_form.stated_at or StatedAt(of_form.place, begins=True, way="as-list")
    return Suggestion(
        mark=mark.id,
        form=spell.form,
        spell=spell,
        car=one.found.known.car,
        number=number,
        scope=Scope(tuple(named)),
        later_than_known=later,
        days=days,
        at=at,
        is_within=at.way in ("within", "single"),
    )


def effects_of(limits: LimitsResult, suggestions: Iterable[Suggestion]) -> list[Effect]:
    """Return what may be stated, each with what it does; of several where nothing is stated yet, the first brings the
    key that the others go beneath."""
    found, begun = [], set[StatedAt]()
    for one in suggestions:
        again = one.at._replace(begins=False, way="begun", inward=one.at.inward + 2) if one.at in begun else one.at
        effect = _effect_of(limits, replace(one, at=again))
        if effect is not None:
            found.append(effect)
            begun |= {one.at} if one.at.way == "single" or (one.at.begins and one.at.way != "as-list") else set()
    return found


def _effect_of(limits: LimitsResult, suggestion: Suggestion) -> Effect | None:
    """Return what a suggestion does; None where it clashes with what stands, or moves nothing."""
    guide = limits.moments.guide
    mark = guide.marks[suggestion.mark]
    stated = replace(mark, statements=(*mark.statements, suggestion.statement))
    after = derive_limits(replace(guide, marks={**guide.marks, mark.id: stated}))
    if len(after.clashes) > len(limits.clashes):
        return None
    scope = Dimensions(guide).close(suggestion.scope, Dimensions(guide).of_car(suggestion.number))
    assert scope is not None, "a car seen is of some kind"
    both = [_spell_of(result, suggestion, scope) for result in (limits, after)]
    if both[0] is None or both[1] is None:
        return None
    moved = any(
        getattr(getattr(both[0], end), side) != getattr(getattr(both[1], end), side)
        for end in ("first", "last")
        for side in ("earliest", "latest")
    )
    return Effect(suggestion, both[0], both[1]) if moved else None


def _spell_of(result: LimitsResult, suggestion: Suggestion, scope: Scope) -> DatedSpell | None:
    return next(
        (
            one
            for one in result.spells
            if (one.mark, one.form, one.spell) == (suggestion.mark, suggestion.form, suggestion.spell.spell)
            and scope.within(one.scope)
        ),
        None,
    )


def paste_of_survival(told: Survival) -> str:
    """Return the line that states how many still have their own, in place of the mark's `survives`."""
    return f"survives: {round(told.share, 2):g}"
