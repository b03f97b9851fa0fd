"""What readers are told otherwise than in an edition before: part by part, in sentences from the facts.

Two editions are compared in what their readers were told (`guide.facts.records.editions`), whatever was renamed since
by its present id. A printed sheet is wrong on a part where that has other forms, or other days for one, than it says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Any

from guide.facts.records.editions import (
    ToldForm,
    ToldLimit,
    ToldMark,
    ToldSeries,
    ToldStatement,
    told_limits,
    told_marks,
    told_series,
)
from guide.facts.types import Guide, KeptEdition, StatementKind
from guide.pages.parts.masked import HIDDEN, shortened
from guide.pages.parts.open_data import facts_told, limits_told
from guide.pages.parts.printed_edition import UNPRINTED
from guide.pages.shelf import Shelf, once
from guide.sentence import Sentence, Value, all_of, day, day_span, lower_first, sentence

__all__ = ["NumbersSince", "OtherThan", "PartSince", "former_ids", "present", "since_each", "steps"]

_EACH = ("periods", "interiors", "sources")


@dataclass(frozen=True, slots=True)
class PartSince:
    """What is told otherwise of a part: its id where it is still there, its name, in sentences; whether a printed sheet
    of then is wrong on it."""

    id: str
    name: str
    says: tuple[Value, ...]
    wrong: bool


@dataclass(frozen=True, slots=True)
class NumbersSince:
    """What is told otherwise of a series of numbers: its id and name, in sentences."""

    id: str
    name: str
    says: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class OtherThan:
    """What an edition tells otherwise than one before it: of each part, of each series' numbers, and of the guide
    besides."""

    before: KeptEdition
    now: KeptEdition
    parts: tuple[PartSince, ...]
    numbers: tuple[NumbersSince, ...]
    besides: tuple[Value, ...]

    @property
    def wrong(self) -> tuple[PartSince, ...]:
        """The parts on which sheets of the edition before are wrong."""
        return tuple(one for one in self.parts if one.wrong)


@once
def present(shelf: Shelf) -> KeptEdition:
    """Return what readers are told in this edition."""
    guide, facts = shelf.guide, facts_told(shelf)
    return KeptEdition(
        name=guide.edition,
        date=guide.published.date,
        number=max((one.number for one in guide.editions), default=0) + 1,
        fingerprint=UNPRINTED,
        guide="",
        marks=told_marks(facts),
        limits=told_limits(limits_told(shelf)),
        series=told_series(facts),
        named={kind: {one["id"]: one["name"] for one in facts[kind]} for kind in _EACH},
    )


@once
def steps(shelf: Shelf) -> tuple[OtherThan, ...]:
    """Return what each edition tells otherwise than the one before it, the newest first."""
    editions = [*shelf.guide.editions, present(shelf)]
    return tuple(_other_than(shelf.guide, old, new) for old, new in reversed(list(pairwise(editions))))


@once
def since_each(shelf: Shelf) -> tuple[OtherThan, ...]:
    """Return what this edition tells otherwise than each of those before it, the newest first."""
    return tuple(_other_than(shelf.guide, old, present(shelf)) for old in reversed(shelf.guide.editions))


def _other_than(guide: Guide, before: KeptEdition, now: KeptEdition) -> OtherThan:
    old, new = (_under_present_ids(guide, one) for one in (before, now))
    then, today = ({one.id: one for one in each.marks} for each in (old, new))
    parts = []
    for mark in [*today.values(), *(one for name, one in then.items() if name not in today)]:
        said = list(_of_part(guide, mark.id, then.get(mark.id), today.get(mark.id), old.limits, new.limits))
        if said:
            here = mark.id if mark.id in guide.marks else ""
            told = tuple(one for one, _ in said if one)
            parts.append(PartSince(here, mark.name, told, any(wrong for _, wrong in said)))
    kept = {one.id: one for one in old.series}
    numbers = (
        NumbersSince(one.id, one.name, tuple(_of_numbers(kept[one.id], one))) for one in new.series if one.id in kept
    )
    return OtherThan(
        before, now, tuple(parts), tuple(one for one in numbers if one.says), tuple(_besides(old.named, new.named))
    )


def _under_present_ids(guide: Guide, edition: KeptEdition) -> KeptEdition:
    """Return an edition with everything under the id that it has today."""
    marks = former_ids(guide.marks)
    forms = {mark.id: former_ids(mark.forms) for mark in guide.marks.values()}
    of_kinds = {kind: former_ids(getattr(guide, kind)) for kind in (*_EACH, "series")}

    def form_of(mark: str, form: str) -> str:
        return forms.get(mark, {}).get(form, form)

    def renamed(mark: ToldMark) -> ToldMark:
        here = marks.get(mark.id, mark.id)
        return ToldMark(
            here,
            mark.name,
            tuple(ToldForm(form_of(here, one.id), one.name) for one in mark.forms),
            tuple(
                replace(one, form=form_of(here, one.form), source=of_kinds["sources"].get(one.source, one.source))
                for one in mark.statements
            ),
        )

    limits = [replace(one, mark=marks.get(one.mark, one.mark)) for one in edition.limits]
    return replace(
        edition,
        marks=tuple(map(renamed, edition.marks)),
        limits=tuple(replace(one, form=form_of(one.mark, one.form)) for one in limits),
        series=tuple(replace(one, id=of_kinds["series"].get(one.id, one.id)) for one in edition.series),
        named={
            kind: {of_kinds[kind].get(one, one): name for one, name in names.items()}
            for kind, names in edition.named.items()
        },
    )


def former_ids(records: Mapping[str, Any]) -> dict[str, str]:
    """Return what records are called today, by each id that they had before."""
    return {old: one.id for one in records.values() for old in one.formerly}


def _of_part(
    guide: Guide,
    mark: str,
    old: ToldMark | None,
    new: ToldMark | None,
    before: Sequence[ToldLimit],
    now: Sequence[ToldLimit],
) -> Iterator[tuple[Value, bool]]:
    """Yield what is told otherwise of a part, each with whether a sheet of then is wrong by it."""
    if old is None or new is None:
        yield _say("part-new" if old is None else "part-gone"), new is None
        return
    if old.name != new.name:
        yield _say("part-named", old=old.name), False
    then, today = ({form.id: form.name for form in each.forms} for each in (old, new))
    for form, name in {**today, **then}.items():
        shown = today.get(form, name)
        if form not in then or form not in today:
            yield _say("form-new" if form in today else "form-gone", form=shown), True
        elif then[form] != shown:
            yield _say("form-named", form=shown, old=then[form]), False
    kept = then.keys() & today.keys()
    for said in _of_statements(guide, today, *([s for s in each.statements if s.form in kept] for each in (old, new))):
        yield said, False
    limits = ([one for one in each if one.mark == mark and one.form in kept] for each in (before, now))
    for limit in _of_limits(today, *limits):
        yield limit, True


def _of_statements(
    guide: Guide, names: Mapping[str, str], old: Iterable[ToldStatement], new: Iterable[ToldStatement]
) -> Iterator[Value]:
    then, today = list(old), list(new)
    for one in list(then):  # what is as it was, or counts otherwise
        same = next((other for other in today if replace(other, counts=one.counts) == one), None)
        if same is not None:
            then.remove(one)
            today.remove(same)
            if same.counts != one.counts:
                yield _stated(guide, names, same, "counts" if same.counts else "aside")
    for about in dict.fromkeys(map(_about, then)):  # what says another time of the same, in the order stated
        olds, news = ([one for one in each if _about(one) == about] for each in (then, today))
        for one, other in zip(olds, news, strict=True) if len(olds) == len(news) else ():
            then.remove(one)
            today.remove(other)
            yield _moved(guide, names, one, other)
    for one in today:
        yield _stated(guide, names, one, "stated")
    for one in then:  # a car seen may have been withdrawn by its owner: its number is not told once more
        yield _stated(guide, names, one, "unseen" if one.kind == StatementKind.SEEN else "unstated")


def _moved(guide: Guide, names: Mapping[str, str], old: ToldStatement, new: ToldStatement) -> Sentence:
    """Return how one statement took the place of another; of a car seen the number of old is not told once more."""
    if old.kind in (StatementKind.FIRST, StatementKind.LAST) and old.when != new.when:
        return _stated(guide, names, new, f"moved.{old.kind}", old=old.when, new=new.when)
    if old.kind == StatementKind.SEEN:
        return _stated(guide, names, new, "seen")
    return _stated(guide, names, new, "restated", old=old.says)


def _about(one: ToldStatement) -> tuple[str, int, str, str, str]:
    return one.form, one.spell, one.kind, one.cars, one.source


def _stated(guide: Guide, names: Mapping[str, str], one: ToldStatement, way: str, **values: Value) -> Sentence:
    source = guide.sources.get(one.source)
    by = _say("no-source") if source is None else lower_first(source.name)
    form = names[one.form]
    of = _say("of-cars", form=form, cars=one.cars) if one.cars and way.startswith("moved") else form
    return _say(way, form=of, source=by, says=one.says, **values)


def _of_limits(names: Mapping[str, str], old: Iterable[ToldLimit], new: Iterable[ToldLimit]) -> Iterator[Value]:
    """Yield what other days a spell has; nothing where it is a number that its statement tells already."""
    then = {(one.form, one.spell, one.cars): one for one in old}
    for one in new:
        before = then.get((one.form, one.spell, one.cars))
        if before is not None and not _alike(before.numbers, one.numbers):
            yield ""
        for end in ("first", "last"):
            now = getattr(one, end)
            if before is not None and getattr(before, end) != now and all((*now, *getattr(before, end))):
                of = _say("of-cars", form=names[one.form], cars=one.cars) if one.cars else names[one.form]
                yield _say(f"limit.{end}", form=of, now=_span(*now), before=_span(*getattr(before, end)))


def _alike(old: Sequence[str], new: Sequence[str]) -> bool:
    """Tell whether numbers are the same, whether or not an edition leaves their last figures out."""
    return len(old) == len(new) and all(
        one == other or (HIDDEN in one + other and _cut(one) == _cut(other))
        for one, other in zip(old, new, strict=True)
    )


def _cut(number: str) -> str:
    return number if HIDDEN in number else shortened(number)


def _span(first: str, last: str) -> Value:
    low, high = date.fromisoformat(first), date.fromisoformat(last)
    return _say("on", day=day(low)) if low == high else day_span(low, high)


def _of_numbers(old: ToldSeries, new: ToldSeries) -> Iterator[Value]:
    """Yield what other numbers were built, and which other car was the last by a day, or the first from one on."""
    if not _alike([number for run in old.runs for number in run], [number for run in new.runs for number in run]):
        yield _say("runs", now=_runs(new), before=_runs(old))
    for kind, at in sorted({*old.calendar, *new.calendar}, key=lambda line: (line[1], line[0])):
        before, now = (one.calendar.get((kind, at), "") for one in (old, new))
        if not _alike([before], [now]):
            way = "new" if not before else "gone" if not now else "moved"
            yield _say(f"calendar.{kind}.{way}", day=day(at), now=now, before=before)


def _runs(series: ToldSeries) -> Value:
    ways = (
        (_say("run", first=first, last=last) if last else _say("run-on", first=first)) for first, last in series.runs
    )
    return all_of(ways)


def _besides(old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]) -> Iterator[Value]:
    for kind in _EACH:
        for one, name in {**new[kind], **old[kind]}.items():
            now = new[kind].get(one, name)
            if one not in old[kind] or one not in new[kind]:
                yield _say(f"{kind}.{'new' if one in new[kind] else 'gone'}", name=now)
            elif old[kind][one] != now:
                yield _say("named", name=now, old=name if name != now else old[kind][one])


def _say(way: str, **values: Value) -> Sentence:
    return sentence(f"pages.editions.{way}", **values)
