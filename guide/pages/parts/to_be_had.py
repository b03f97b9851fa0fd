"""Part numbers, what is stamped, and what can be had of a form, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from guide.facts.part_numbers import Numbers, numbers_of
from guide.facts.text.folded import compact
from guide.facts.types import Form, Guide, PartNumber, Supply
from guide.limits.wording import when_said
from guide.pages.parts.wording import citation_said
from guide.pages.shelf import Shelf, once
from guide.sentence import Value, all_of, chained, in_turn, one_of, sentence

__all__ = ["Had", "form_lines", "had_of", "number_before", "number_said", "numbers_in", "superseded_said"]


@once
def numbers_in(shelf: Shelf) -> Numbers:
    """Return the part numbers of the whole guide."""
    return numbers_of(shelf.guide)


def form_lines(shelf: Shelf, form: Form) -> list[Value]:
    """Return a form's numbers, what took their place, what is stamped on it and what can be had, a paragraph each."""
    guide, typed = shelf.guide, form.part_numbers
    found: list[Value] = []
    if typed:
        each = all_of(one.number for one in typed)
        found.append(sentence("pages.mark.part_numbers", n=len(typed), numbers=each))
        found += [said for one in typed if (said := superseded_said(guide, one))]
        found += [said for one in typed if (said := _before_said(shelf, one))]
    if form.stamped:
        found.append(sentence("pages.mark.stamped", marks=one_of(form.stamped)))
    return [*found, *(one.whole for one in had_of(guide, form))]


def superseded_said(guide: Guide, number: PartNumber) -> Value:
    """Return what took a number's place, when, and whose word that is; empty where nothing did."""
    if not number.superseded_by:
        return ""
    source = guide.sources.get(number.source)
    more: list[Value] = [when_said(guide, number.since)] if number.since is not None else []
    more += [citation_said(source, number.page)] if source else []
    way = "pages.numbers.superseded.with" if more else "pages.numbers.superseded"
    told = {"number": number.number, "after": number.superseded_by}
    return sentence(way, **told, more=chained("words.then_after_stop", more) if more else "")


def _before_said(shelf: Shelf, number: PartNumber) -> Value:
    """Return whose place a number took; empty where it took none."""
    before = number_before(shelf, number.number)
    return sentence("pages.numbers.took", number=number.number, before=all_of(before)) if before else ""


def number_before(shelf: Shelf, number: str) -> list[str]:
    """Return the numbers whose place one took, as they are written."""
    return _before_each(shelf).get(compact(number), [])


@once
def _before_each(shelf: Shelf) -> dict[str, list[str]]:
    found: dict[str, dict[str, str]] = {}
    for at, given in numbers_in(shelf).items():
        for number in (one.number for one in given if one.number.superseded_by):
            found.setdefault(compact(number.superseded_by), {}).setdefault(at, number.number)
    return {after: list(before.values()) for after, before in found.items()}


def number_said(number: PartNumber) -> Value:
    """Return a number as a letter names it: with the one that took its place."""
    if not number.superseded_by:
        return number.number
    return sentence("pages.numbers.short", number=number.number, after=number.superseded_by)


@dataclass(frozen=True, slots=True)
class Had:
    """What of a form can be had as one inquiry found it: in words, by when, and whose word it is."""

    says: Value
    when: Value
    source: str  # an id; "" where none is given
    cited: Value  # "" where no source is given

    @property
    def whole(self) -> Value:
        """It all in sentences."""
        if not self.cited:
            return self.dated
        return in_turn([self.says, sentence("pages.supply.as_of.cited", when=self.when, source=self.cited)])

    @property
    def dated(self) -> Value:
        """What can be had, and by when, where something else tells whose word it is."""
        return in_turn([self.says, sentence("pages.supply.as_of", when=self.when)])


def had_of(guide: Guide, form: Form) -> list[Had]:
    """Return what can be had of a form, what one source says by one date together."""
    by_inquiry: dict[tuple[str, str, str], list[Supply]] = {}
    for one in form.supply:
        by_inquiry.setdefault((one.as_of.text, one.source, one.page), []).append(one)
    return [_had(guide, together) for together in by_inquiry.values()]


def _had(guide: Guide, together: Sequence[Supply]) -> Had:
    first = together[0]
    source = guide.sources.get(first.source)
    cited = citation_said(source, first.page) if source else ""
    says = in_turn(said for one in together for said in _ways_said(one))
    return Had(says, when_said(guide, first.as_of), first.source, cited)


def _ways_said(one: Supply) -> Iterator[Value]:
    in_words = f"pages.supply.{one.had}.in_words" if one.words else f"pages.supply.{one.had}"
    yield sentence(in_words, words=one.words)
    if one.told_by:
        yield sentence("pages.supply.told_by", how=one.told_by)
