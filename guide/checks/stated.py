"""What was forgotten or typed twice among statements and shares: the order of forms that follow one another, a line
that says again what another says, shares that do not come to the whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import islice, pairwise, permutations

from guide.checks.known import Known, place_of
from guide.facts.records.rulings import name_of
from guide.facts.types import Mark, ShareRow, Span, Statement, StatementKind
from guide.finding import Finding, Place, Related
from guide.limits.moments import Moments
from guide.limits.types import DatedSpell
from guide.sentence import Value, all_of, day, figure, listed, sentence

__all__ = ["check_order_as_stated", "check_order_given", "check_said_once", "check_shares_reach"]

Row = tuple[str, float | None, ShareRow | Span]  # what has a share, the share (None: the rest), and when it holds
_ROUNDED = 0.02  # of the whole: thirds and sevenths typed in hundredths still come to it


def check_order_given(known: Known) -> Iterator[Finding]:
    """Yield a note for each mark without an order of which what is stated lets one form follow another."""
    for mark in known.guide.marks.values():
        works = {one.id for one in mark.forms.values() if one.dates_a_car and not one.is_option}
        spells = [one for one in known.limits.spells if one.mark == mark.id and one.form in works]
        if mark.order or not any(_follows(mark, old, new) for old, new in permutations(spells, 2)):
            continue
        order = dict.fromkeys(one.form for one in sorted(spells, key=lambda one: one.first.earliest + one.last.latest))
        names = all_of(mark.forms[one].name for one in order)
        yield Finding.of("checks.order-left-out", mark.place, mark=mark.name, forms=names, order=listed(order))


def _follows(mark: Mark, old: DatedSpell, new: DatedSpell) -> bool:
    """Tell whether a last or a first is stated that makes sense as the change from one form to the other, on the same
    cars, and no car is known that had the old one later."""
    lasts, firsts = _ends(mark, old, StatementKind.LAST), _ends(mark, new, StatementKind.FIRST)
    if old.form == new.form or old.scope != new.scope or {one.place for one in lasts} & {one.place for one in firsts}:
        return False  # `changes:` says of itself which form follows
    return bool(lasts or firsts) and old.last.earliest <= new.first.latest and old.first.earliest <= new.first.earliest


def _ends(mark: Mark, spell: DatedSpell, kind: StatementKind) -> list[Statement]:
    return [one for one in mark.statements if (one.form, one.spell, one.kind) == (spell.form, spell.spell, kind)]


def check_order_as_stated(known: Known) -> Iterator[Finding]:
    """Yield a finding for each mark whose order has its forms the wrong way round, by all that is stated of them."""
    for mark in known.guide.marks.values():
        backwards = _order_backwards(mark, known.limits.moments)
        if backwards:
            names = all_of(mark.forms[one].name for one in backwards)
            place = place_of(mark.order[0].form, mark.place)
            yield Finding.of("checks.order-backwards", place, mark=mark.name, forms=names, order=listed(backwards))


def _order_backwards(mark: Mark, moments: Moments) -> list[str]:
    """Return the order of a mark's forms turned round, where what is stated has each before the one ahead of it: by
    their beginnings, their ends or the middles between, and by none of these the way it is typed."""
    forms, dated = list(dict.fromkeys(ref.form for ref in mark.order)), 0
    made, begun, ended = moments.guide.production, list[date | None](), list[date | None]()
    for form in forms:
        days: dict[StatementKind, list[tuple[date, date]]] = {}
        for one in mark.statements:
            if one.form == form and one.when is not None:
                days.setdefault(one.kind, []).append(moments.days(one.when))
        if not days:
            return []
        dated += sum(map(len, days.values()))
        seen = days.get(StatementKind.SEEN, [])
        alone = days.keys() == {StatementKind.SEEN}
        firsts = [*days.get(StatementKind.FIRST, []), *(seen if alone or StatementKind.FIRST in days else [])]
        lasts = [*days.get(StatementKind.LAST, []), *(seen if alone or StatementKind.LAST in days else [])]
        begun.append(min((first for first, _ in firsts), default=None))
        ended.append(max((last for _, last in lasts), default=None))
    middles: list[date | None] = [
        date.fromordinal(((first or made.first).toordinal() + (last or made.last).toordinal()) // 2)
        for first, last in zip(begun, ended, strict=True)
    ]
    ways = [[one for one in days if one is not None] for days in (begun, ended, middles) if None not in days]
    falls = any(all(later < earlier for earlier, later in pairwise(days)) for days in ways)
    rises = any(all(later > earlier for earlier, later in pairwise(days)) for days in ways)
    told = falls and not rises and len(forms) == len(mark.order) > 1
    return forms[::-1] if told and dated > len(forms) else []  # of one each, either may be what is mistaken


def check_said_once(known: Known) -> Iterator[Finding]:
    """Yield a note for each statement that says again what another says."""
    for mark in known.guide.marks.values():
        said: dict[tuple[object, ...], Statement] = {}
        for one in mark.statements:
            when = " ".join(one.when.text.split()).casefold() if one.when is not None else ""
            claim = (one.form, one.spell, one.kind, when, one.other, one.source, one.scope, one.page, one.repeats)
            first = said.setdefault(claim, one)
            if first is not one:
                related = (Related(first.place, sentence("checks.statement-twice.first")),)
                form = mark.forms[one.form].name
                yield Finding.of(
                    "checks.statement-twice", one.place, related=related, statement=name_of(one), form=form
                )


def check_shares_reach(known: Known) -> Iterator[Finding]:
    """Yield a finding where the shares of a split's values, or of the interiors, come to less or more than all cars."""
    guide = known.guide
    stated: list[tuple[Value, list[Row], bool]] = []
    for split in guide.splits.values():
        rows: list[Row] = [(row.value, row.share, row) for row in guide.shares if row.split == split.id]
        stated.append((split.name, rows, {name for name, _, _ in rows} == set(split.values)))
    spans = [(one, span) for one in guide.interiors.values() for span in one.spans]
    plain = [(one.id, one.share, span) for one, span in spans if one.share is not None and not span.scope.parts]
    as_stated = all(one.share is not None and not span.scope.parts for one, span in spans)
    stated.append((sentence("checks.shares-not-whole.interiors"), list(plain), as_stated))
    for of, rows, every in stated:
        for place, comes_to, begun in islice(_amiss(known, rows, every=every), 1):
            tenths = figure(round(comes_to * 10, 2))
            yield Finding.of("checks.shares-not-whole", place, of=of, tenths=tenths, begun=day(begun))


def _amiss(known: Known, rows: Iterable[Row], *, every: bool) -> Iterator[tuple[Place, float, date]]:
    """Yield each day from which the shares that hold come to too much, or, where ``every`` thing has one and none
    takes what the others leave, to too little: where the last of them stands, what they come to, the day. A later row
    overrides an earlier one."""
    moments = known.limits.moments
    stretches = [
        (moments.end_of_stretch(row.first, last=False), moments.end_of_stretch(row.last, last=True), name, share, row)
        for name, share, row in rows
    ]
    named = {name for _, _, name, _, _ in stretches}
    for begun in sorted({first for first, *_ in stretches}):
        here = {name: (share, row) for first, last, name, share, row in stretches if first <= begun <= last}
        shares = {row.place: share for share, row in here.values() if share is not None}
        is_whole = every and len(shares) == len(named)
        comes_to = sum(shares.values())
        if comes_to > 1 + _ROUNDED or (is_whole and comes_to < 1 - _ROUNDED):
            yield max(shares), comes_to, begun
