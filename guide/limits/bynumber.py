"""Claims about numbers, tested on numbers: exactly, without tolerance.

Theory
------
"The last is C1840" is a claim about numbers before it is one about days. Within one series and cell it is
contradicted by a car seen beyond C1840 and by a second "last" at another number, and a "first" likewise by
what comes before it, even where the usual disorder of build lets both stand by date: "clean by date, mixed by
number". What the statement itself allows for is allowed: so many cars of leftover stock, "about" so many
cars. A car seen that may be of any of several kinds, and so speaks for none of them, contradicts what is said of
all of those. A last or first *ever* is contradicted by cars of any spell of its form. A named stray was built out of
order, so its number contradicts nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import NamedTuple

from guide.facts.records.rulings import name_of
from guide.facts.types import StatementKind
from guide.finding import Finding, Related, Step, StepKind
from guide.limits.build import Builder
from guide.limits.claims import StatedClaim, cells_it_may_lie_in, scope_spoken_of
from guide.limits.steps import Explainer
from guide.limits.ties import stated
from guide.limits.types import Clash, Standing
from guide.limits.wording import when_said
from guide.sentence import all_of

__all__ = ["Mixed", "cars_beyond", "mixed_by_number", "mixed_clash"]


@dataclass(frozen=True, slots=True)
class Mixed:
    """A first or last by number, and the claims that name a car beyond it."""

    claim: StatedClaim
    others: tuple[StatedClaim, ...]

    @property
    def standing(self) -> Standing:
        """How the first or last stands: days test it against others only where these speak for some kind of car."""
        return Standing.MIXED if all(other.cells for other in self.others) else Standing.MIXED_NUMBER_ONLY


class _Numbered(NamedTuple):
    """A claim as positions of its series: the car named lies from ``low`` to ``high``."""

    claim: StatedClaim
    series: str
    low: int
    high: int


def _numbered(builder: Builder, claim: StatedClaim) -> _Numbered | None:
    when = claim.statement.when
    car = None if when is None or when.car is None else builder.moments.car(when)
    if car is None or car.position in car.line.strays or _assembled(builder, claim):
        return None
    return _Numbered(claim, car.line.series.id, car.low, car.high + (claim.statement.old_stock_cars or 0))


def _assembled(builder: Builder, claim: StatedClaim) -> bool:
    """Tell whether a claim names a car put together elsewhere, so that its number says nothing exact of when."""
    said = scope_spoken_of(builder, builder.guide.marks[claim.mark], claim.statement)
    return bool(builder.guide.assembled) and builder.dimensions.assembly_of(said) is not None


_Kind = tuple[str, str, int, int, str]  # mark, form, spell, cell, series


def mixed_by_number(builder: Builder, claims: Sequence[StatedClaim]) -> list[Mixed]:
    """Return the firsts and lasts that other claims contradict by number, in order of label.

    Of two claims of one kind that differ, the one less believed (then the later) is the one reported.
    """
    numbered = [one for claim in claims if (one := _numbered(builder, claim)) is not None]
    spoken: defaultdict[_Kind, list[_Numbered]] = defaultdict(list)
    for one in numbered:
        claim, said = one.claim, one.claim.statement
        spells = [spell.number for spell in builder.guide.marks[claim.mark].forms[said.form].spells]
        for cell in claim.cells:
            for spell in spells if said.superlative else (said.spell,):
                spoken[claim.mark, said.form, spell, cell, one.series].append(one)
    beyond: defaultdict[int, set[int]] = defaultdict(set)  # by label
    for one, other in _whichever_kind(builder, spoken, numbered):
        beyond[one.claim.label].add(other.claim.label)
    for together in spoken.values():
        for one, other in permutations(together, 2):
            if _contradicts(other, one):
                beyond[one.claim.label].add(other.claim.label)
    by_label = {claim.label: claim for claim in claims}
    return [Mixed(by_label[one], tuple(by_label[other] for other in sorted(beyond[one]))) for one in sorted(beyond)]


def _whichever_kind(
    builder: Builder, spoken: Mapping[_Kind, Sequence[_Numbered]], numbered: Sequence[_Numbered]
) -> Iterator[tuple[_Numbered, _Numbered]]:
    """Yield firsts and lasts with a car seen beyond them that they speak of, whichever kind of car it is."""
    for other in numbered:
        claim, said = other.claim, other.claim.statement
        if claim.cells or said.kind is not StatementKind.SEEN:
            continue
        kinds = cells_it_may_lie_in(builder, builder.guide.marks[claim.mark], said)
        told = [spoken.get((claim.mark, said.form, said.spell, cell, other.series), ()) for cell in kinds]
        for one in told[0] if told else ():
            if all(any(one is also for also in of_kind) for of_kind in told) and _contradicts(other, one):
                yield one, other


def _contradicts(other: _Numbered, one: _Numbered) -> bool:
    """Tell whether another claim names a car beyond what this first or last allows."""
    kind, their_kind = one.claim.statement.kind, other.claim.statement.kind
    if kind not in (StatementKind.FIRST, StatementKind.LAST) or their_kind not in (kind, StatementKind.SEEN):
        return False
    if their_kind is kind and (one.claim.rank, one.claim.label) < (other.claim.rank, other.claim.label):
        return False
    beyond = other.low > one.high if kind is StatementKind.LAST else other.high < one.low
    if other.claim.statement.spell != one.claim.statement.spell:
        return beyond and one.claim.statement.superlative
    return beyond or (their_kind is kind and (other.low > one.high or other.high < one.low))


def cars_beyond(builder: Builder, ends: Sequence[StatedClaim], seen: Iterable[StatedClaim]) -> Iterator[StatedClaim]:
    """Yield the cars seen, as stated, whose numbers lie beyond some of these firsts and lasts of the same cells."""
    held = [one for claim in ends if (one := _numbered(builder, claim)) is not None]
    for claim in seen:
        other = _numbered(builder, claim)
        if other is not None and any(
            one.series == other.series and set(one.claim.cells) & set(claim.cells) and _contradicts(other, one)
            for one in held
        ):
            yield claim


def mixed_clash(explainer: Explainer, mixed: Mixed, ruled: int | None = None) -> Clash:
    """Return a mix by number as a clash; without a ruling it has a finding that lists the cars.

    Nothing is set aside by it: all of it stands by date.
    """
    claim = mixed.claim
    chain = tuple(_step(explainer, one) for one in (claim, *mixed.others))
    return Clash(
        mark=claim.mark,
        set_aside=claim.index,
        against=tuple(sorted({other.index for other in mixed.others})),
        chain=chain,
        short_by_days=0,
        standing=mixed.standing,
        ruled=ruled,
        equal_reliability=all(other.trust is claim.trust for other in mixed.others),
        finding=None if ruled is not None else _finding(explainer, mixed, chain),
    )


def _step(explainer: Explainer, claim: StatedClaim) -> Step:
    says = explainer.sentence(stated(explainer.guide, claim.statement), claim.mark)
    return Step(StepKind.STATEMENT, claim.place, claim.statement.source, says, 0)


def _finding(explainer: Explainer, mixed: Mixed, chain: tuple[Step, ...]) -> Finding:
    guide, claim = explainer.guide, mixed.claim
    mark, statement = guide.marks[claim.mark], claim.statement
    cars = [when_said(guide, other.when, taken_as=True) for other in mixed.others]
    kind = statement.kind if mixed.standing is Standing.MIXED else f"{statement.kind}-of-any-kind"
    return Finding.of(
        f"limits.mixed-by-number.{kind}",
        claim.place,
        related=tuple(Related(step.place, step.says) for step in chain[1:]),
        chain=chain,
        mark=mark.name,
        form=mark.forms[statement.form].name,
        when=when_said(guide, claim.when, taken_as=True),
        cars=all_of(dict.fromkeys(cars)),
        file=mark.place.file,
        statement=name_of(mark.statements[claim.index]),
    )
