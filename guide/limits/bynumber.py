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
from typing import NamedTuple

from guide.facts.records.rulings import name_of
from guide.facts.types import StatementKind
from guide.finding import Finding, Related, Step, StepKind
from guide.limits.build import Builder
from guide.limits.claims import Claim, cells_it_may_lie_in
from guide.limits.steps import Explainer
from guide.limits.ties import stated
from guide.limits.types import Clash, Standing
from guide.limits.wording import when_said
from guide.sentence import all_of

__all__ = ["Mixed", "mixed_by_number", "mixed_clash"]


@dataclass(frozen=True, slots=True)
class Mixed:
    """A first or last by number, and the claims that name a car beyond it."""

    claim: Claim
    others: tuple[Claim, ...]


class _Numbered(NamedTuple):
    """A claim as positions of its series: the car named lies from ``low`` to ``high``."""

    claim: Claim
    low: int
    high: int


def _numbered(builder: Builder, claim: Claim) -> _Numbered | None:
    when = claim.statement.when if claim.statement else None
    car = None if when is None or when.car is None else builder.moments.car(when)
    if car is None or car.position in car.line.strays:
        return None
    stock = claim.statement.old_stock_cars or 0 if claim.statement else 0
    return _Numbered(claim, car.low, car.high + stock)


_Kind = tuple[str, str, int, int, str]  # mark, form, spell, cell, series


def mixed_by_number(builder: Builder, claims: Iterable[Claim]) -> list[Mixed]:
    """Return the firsts and lasts that other claims contradict by number, in order of label.

    Of two claims of one kind that differ, the one less believed (then the later) is the one reported.
    """
    claims = tuple(claims)
    spoken: defaultdict[_Kind, list[_Numbered]] = defaultdict(list)
    for claim in claims:
        numbered = _numbered(builder, claim)
        if numbered is None or claim.statement is None or claim.statement.when is None:
            continue
        car = claim.statement.when.car
        assert car is not None
        spells = [claim.statement.spell]
        if claim.statement.superlative:
            spells = [one.number for one in builder.guide.marks[claim.mark].forms[claim.statement.form].spells]
        for cell in claim.cells:
            for spell in spells:
                spoken[claim.mark, claim.statement.form, spell, cell, car.series].append(numbered)
    found: dict[int, tuple[Claim, dict[int, Claim]]] = {}
    for claim, seen in _whichever_kind(builder, spoken, claims):
        found.setdefault(claim.label, (claim, {}))[1][seen.label] = seen
    for together in spoken.values():
        for one in together:
            for other in together:
                if one is not other and _contradicts(other, one):
                    found.setdefault(one.claim.label, (one.claim, {}))[1][other.claim.label] = other.claim
    return [
        Mixed(claim, tuple(others[label] for label in sorted(others))) for _, (claim, others) in sorted(found.items())
    ]


def _whichever_kind(
    builder: Builder, spoken: Mapping[_Kind, Sequence[_Numbered]], claims: Sequence[Claim]
) -> Iterator[tuple[Claim, Claim]]:
    """Yield firsts and lasts with a car seen beyond them that they speak of, whichever kind of car it is."""
    for other in claims:
        numbered = None if other.cells or other.statement is None else _numbered(builder, other)
        if numbered is None or other.statement is None or other.statement.kind is not StatementKind.SEEN:
            continue
        said, when = other.statement, other.statement.when
        assert when is not None
        assert when.car is not None
        kinds = cells_it_may_lie_in(builder, builder.guide.marks[other.mark], said)
        told = [spoken.get((other.mark, said.form, said.spell, cell, when.car.series), ()) for cell in kinds]
        for one in told[0] if told else ():
            everywhere = all(any(one.claim is also.claim for also in of_kind) for of_kind in told)
            if everywhere and _contradicts(numbered, one):
                yield one.claim, other


def _contradicts(other: _Numbered, one: _Numbered) -> bool:
    """Tell whether another claim names a car beyond what this first or last allows."""
    assert one.claim.statement is not None
    assert other.claim.statement is not None
    kind, their_kind = one.claim.statement.kind, other.claim.statement.kind
    if kind not in (StatementKind.FIRST, StatementKind.LAST) or their_kind not in (kind, StatementKind.SEEN):
        return False
    if their_kind is kind and (one.claim.rank, one.claim.label) < (other.claim.rank, other.claim.label):
        return False
    beyond = other.low > one.high if kind is StatementKind.LAST else other.high < one.low
    if other.claim.statement.spell != one.claim.statement.spell:
        return beyond and one.claim.statement.superlative
    return beyond or (their_kind is kind and (other.low > one.high or other.high < one.low))


def mixed_clash(explainer: Explainer, mixed: Mixed, ruled: int | None) -> Clash:
    """Return a mix by number as a clash; without a ruling it has a finding that lists the cars.

    Nothing is set aside by it: all of it stands by date.
    """
    guide, claim = explainer.guide, mixed.claim
    mark = guide.marks[claim.mark]
    chain = tuple(_step(explainer, one) for one in (claim, *mixed.others))
    finding = None if ruled is not None else _finding(explainer, mixed, chain)
    return Clash(
        mark=mark.id,
        set_aside=claim.index,
        against=tuple(sorted({other.index for other in mixed.others})),
        chain=chain,
        short_by_days=0,
        standing=Standing.MIXED if all(other.cells for other in mixed.others) else Standing.MIXED_NUMBER_ONLY,
        ruled=ruled,
        equal_reliability=all(other.trust is claim.trust for other in mixed.others),
        finding=finding,
    )


def _step(explainer: Explainer, claim: Claim) -> Step:
    statement = claim.statement
    assert statement is not None
    says = explainer.sentence(stated(explainer.guide, statement), claim.mark)
    return Step(StepKind.STATEMENT, claim.place, statement.source, says, 0)


def _finding(explainer: Explainer, mixed: Mixed, chain: Sequence[Step]) -> Finding:
    guide, claim = explainer.guide, mixed.claim
    mark, statement = guide.marks[claim.mark], claim.statement
    assert statement is not None
    assert statement.when is not None
    cars = [
        when_said(guide, other.statement.when, taken_as=True)
        for other in mixed.others
        if other.statement is not None and other.statement.when is not None
    ]
    kind = str(statement.kind) if all(other.cells for other in mixed.others) else f"{statement.kind}-of-any-kind"
    return Finding.of(
        f"limits.mixed-by-number.{kind}",
        claim.place,
        related=tuple(Related(step.place, step.says) for step in chain[1:]),
        chain=tuple(chain),
        mark=mark.name,
        form=mark.forms[statement.form].name,
        when=when_said(guide, statement.when, taken_as=True),
        cars=all_of(dict.fromkeys(cars)),
        file=mark.place.file,
        statement=name_of(mark.statements[claim.index]),
    )
