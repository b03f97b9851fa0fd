"""Checks on part numbers and on what can be had: one number for one part, successions that end, one word at a time."""

from __future__ import annotations

from collections.abc import Iterator

from guide.checks.known import Known, place_of
from guide.facts.part_numbers import FormNumber, goes_round, numbers_of, successors_of
from guide.facts.text.folded import compact
from guide.facts.types import SupplyKind
from guide.finding import Finding, Related
from guide.sentence import sentence

__all__ = ["check_numbers_given_once", "check_successors", "check_supply"]


def check_numbers_given_once(known: Known) -> Iterator[Finding]:
    """Yield a finding for every number given to a second form, where none says that one part is several."""
    for first, *others in numbers_of(known.guide).values():
        for one in others:
            if one.form is first.form:
                yield _twice("checks.part-number-twice.again", first, one)
            elif not (one.number.shared and first.number.shared):
                yield _twice("checks.part-number-twice", first, one)


def _twice(name: str, first: FormNumber, one: FormNumber) -> Finding:
    there = sentence("checks.part-number-twice.first", form=first.form.name, mark=first.mark.name)
    return Finding.of(
        name,
        place_of(one.number.number, one.number.place),
        related=(Related(place_of(first.number.number, first.number.place), there),),
        number=one.number.number,
        form=one.form.name,
        mark=one.mark.name,
    )


def check_successors(known: Known) -> Iterator[Finding]:
    """Yield a finding for numbers that supersede one another in a circle, once for each, and for every successor that
    no form has."""
    numbers = numbers_of(known.guide)
    told: set[str] = set()
    for at, given in numbers.items():
        for one in given:
            number, after = one.number, one.number.superseded_by
            if not after:
                continue
            place = place_of(after, number.place)
            if goes_round(number.number, numbers):
                if at not in told:
                    told |= {at, *map(compact, successors_of(number.number, numbers))}
                    yield Finding.of("checks.superseded-in-circle", place, number=number.number, after=after)
            elif compact(after) not in numbers:
                yield Finding.of("checks.successor-unknown", place, number=number.number, after=after)


def check_supply(known: Known) -> Iterator[Finding]:
    """Yield a finding where a form is said, by one date, to be remade and to be made by nobody."""
    for mark in known.guide.marks.values():
        for form in mark.forms.values():
            nobody, remade = form.supply_of(SupplyKind.NOBODY), form.supply_of(SupplyKind.REMADE)
            if nobody and remade and nobody.as_of.days()[1] == remade.as_of.days()[1]:
                yield Finding.of("checks.supply-disagrees", nobody.place, form=form.name, mark=mark.name)
