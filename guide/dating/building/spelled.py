"""What one mark looks like on one kind of car: its spells there, in order, and what lies over or beside them.

An *option*, or a spell with a stated share, lies over the factory chain while it was to be had. A spell for
which no order is declared stands beside the chain, each of those fitted at a time with an equal share.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from guide.constants import value_of
from guide.dating.building.chains import DayLimits, changed_by, close_lasts, ordered_marginals
from guide.dating.building.grid import Grid, GridLine
from guide.facts.types import FittedAs, Form, FormRef, Guide, Mark, Scope, Spell
from guide.finding import TICKS_PER_DAY
from guide.limits.changeovers import share_stated
from guide.limits.types import DatedSpell, Limits, LimitsResult

__all__ = ["Spelled", "Speller"]

SpellOf = tuple[str, int]  # form, number
Spells = tuple[tuple[SpellOf, int], ...]  # with the index of its limits, -1 for none


@dataclass(frozen=True, slots=True)
class Spelled:
    """``chain[k]`` is the form (by index) of the k-th spell, ``changed[k][bin]`` the chance that the changeover
    after spell k had come. ``beside`` and ``over`` are ``(form, chance per bin)``."""

    forms: int
    chain: tuple[int, ...]
    places: tuple[tuple[str, int], ...]  # form and spell number of each in the chain
    changed: tuple[tuple[float, ...], ...]
    beside: tuple[tuple[int, tuple[float, ...]], ...]
    over: tuple[tuple[int, tuple[float, ...]], ...]

    def mix(self, t: int) -> list[float]:
        """Return the chance of each form in a bin."""
        return self._of_forms(t, [a - b for a, b in pairwise(self._passed(t))])

    def parted(self, t: int, at: int, chance: float) -> tuple[list[float], list[float]]:
        """Return the chance of each form before and after changeover ``at``, which had come with ``chance``.

        Where a side cannot be, it holds the spell next to the changeover.
        """
        passed = self._passed(t)
        before = [max(value, chance) for value in passed[: at + 1]] + [chance]
        after = [chance] + [min(value, chance) for value in passed[at + 2 :]]
        nothing = [0.0] * len(self.chain)
        spells = [a - b for a, b in pairwise(before)] + nothing[at + 1 :]
        later = nothing[: at + 1] + [a - b for a, b in pairwise(after)]
        return self._of_forms(t, _one_whole(spells, at)), self._of_forms(t, _one_whole(later, at + 1))

    def alike(self, bins: int) -> list[tuple[float, ...]]:
        """Return all that `mix` and `parted` look at in each bin: bins with the same have the same."""
        rows = [*self.changed, *(present for _, present in (*self.beside, *self.over))]
        return list(zip(*rows, strict=True)) if rows else [()] * bins

    def _passed(self, t: int) -> list[float]:
        """Return G in a bin: 1, the chance that each changeover of the chain had come, 0; nothing for no chain."""
        return [1.0, *(row[t] for row in self.changed), 0.0] if self.chain else []

    def _of_forms(self, t: int, spells: Sequence[float]) -> list[float]:
        """Return the chance of each form in a bin, given the chance of each spell of the chain."""
        vector = [0.0] * self.forms
        for form, chance in zip(self.chain, spells, strict=True):
            vector[form] += chance
        for form, present in self.beside:
            vector[form] += present[t]
        whole = sum(vector)
        vector = [value / whole for value in vector] if whole > 0.0 else [1.0 / self.forms] * self.forms
        laid = sum(present[t] for _, present in self.over)
        scale = 1.0 / laid if laid > 1.0 else 1.0
        vector = [value * (1.0 - laid * scale) for value in vector]
        for form, present in self.over:
            vector[form] += present[t] * scale
        return vector


class Speller:
    """Works out `Spelled` for each mark and kind of car, once for each different set of limits."""

    def __init__(self, guide: Guide, limits: LimitsResult, grid: Grid) -> None:
        self.guide, self.grid = guide, grid
        self.by_spell: dict[tuple[str, str, int], list[tuple[int, DatedSpell]]] = {}
        for at, dated in enumerate(limits.spells):
            self.by_spell.setdefault((dated.mark, dated.form, dated.spell), []).append((at, dated))
        self.dated = limits.spells
        whole = DayLimits(0.0, float(grid.edges[-1]))  # stands last: of a spell without limits, whose index is -1
        self.firsts = [*(_in_days(dated.first) for dated in limits.spells), whole]
        self.lasts = [*(_in_days(dated.last) for dated in limits.spells), whole]
        self.together = _together(guide)
        self._made: dict[tuple[str, str, Spells], Spelled] = {}

    def spells_of(self, mark: Mark, car: Mapping[str, str]) -> Spells | None:
        """Return the spells of a mark that such a car can have; None where the mark does not apply."""
        if not mark.scope.holds(car):
            return None
        forms = (form for form in mark.forms.values() if form.dates_a_car and form.scope.holds(car))
        spells = [spell for form in forms for spell in form.spells if spell.scope.holds(car)]
        return tuple(((one.form, one.number), self._limits_of(mark, one, car)) for one in spells) or None

    def _limits_of(self, mark: Mark, spell: Spell, car: Mapping[str, str]) -> int:
        """Return the index of the limits that hold for a car, those of the narrowest scope first; -1: none."""
        fitting = [
            (len(dated.scope.parts), at)
            for at, dated in self.by_spell.get((mark.id, spell.form, spell.number), ())
            if dated.scope.holds(car)
        ]
        return max(fitting, key=lambda one: (one[0], -one[1]))[1] if fitting else -1

    def spelled(self, mark: Mark, line: GridLine, spells: Spells) -> Spelled:
        """Return what a mark looks like on cars of a series with these spells."""
        which = (mark.id, line.id, spells)
        if which not in self._made:
            self._made[which] = self._spell(mark, line, spells)
        return self._made[which]

    def _spell(self, mark: Mark, line: GridLine, of_car: Spells) -> Spelled:
        index = {form: at for at, form in enumerate(mark.forms)}
        places = {(ref.form, ref.spell): at for at, ref in enumerate(mark.order)}
        spells = dict(of_car)
        shares = {ref: self._share_over(mark.forms[ref[0]], ref[1]) for ref in spells}
        chain = sorted((ref for ref in spells if ref in places and shares[ref] is None), key=places.__getitem__)
        beside = [ref for ref in spells if ref not in places and shares[ref] is None]
        if not chain and len(beside) == 1:
            chain, beside = beside, []
        return Spelled(
            forms=len(mark.forms),
            chain=tuple(index[form] for form, _ in chain),
            places=tuple(chain),
            changed=tuple(tuple(row) for row in self._changed(mark, line, chain, spells)),
            beside=tuple((index[ref[0]], self._present(line, spells[ref], 1.0)) for ref in beside),
            over=tuple(
                (index[ref[0]], self._present(line, spells[ref], share))
                for ref, share in shares.items()
                if share is not None
            ),
        )

    def _share_over(self, form: Form, number: int) -> float | None:
        spell = next(one for one in form.spells if one.number == number)
        if spell.share is not None:
            return spell.share
        if not form.is_option:
            return None
        share = next((fitting.share for fitting in form.fitted_as if fitting.kind is FittedAs.OPTION), None)
        return value_of("option_share", self.guide.overrides) if share is None else share

    def _changed(
        self, mark: Mark, line: GridLine, chain: Sequence[tuple[str, int]], spells: Mapping[SpellOf, int]
    ) -> list[list[float]]:
        if len(chain) < 2:
            return []
        firsts = [self._first_together(mark, ref, spells[ref]) for ref in chain[1:]]
        lasts = [self.lasts[spells[ref]] for ref in chain[:-1]]
        stated = [spells[ref] >= 0 and self.dated[spells[ref]].last_is_stated for ref in chain[:-1]]
        overlap = value_of("overlap", self.guide.overrides)
        lasts = close_lasts(firsts, lasts, stated, overlap, [self._seen_until(line, spells[ref]) for ref in chain[:-1]])
        shares = [self._share_of_later(mark, old, new) for old, new in pairwise(chain)]
        return changed_by(firsts, lasts, shares, line.open_days, line.open_in)

    def _seen_until(self, line: GridLine, index: int) -> float:
        """Return the end of the last day, from the origin, on which the latest car of a series that is known to have
        had a spell can have been built; before all days where none is known."""
        low = self.dated[index].by_number("last", line.id).low if index >= 0 else None
        if low is None or line.numbered is None:
            return float("-inf")
        return float(self.grid.day(line.numbered.latest_day(low)) + 1)

    def _first_together(self, mark: Mark, ref: tuple[str, int], index: int) -> DayLimits:
        """Return the limits of a first, narrowed to what all that changed at that moment allow."""
        bounds = self.firsts[index]
        if index < 0:
            return bounds
        scope = self.dated[index].scope
        for other, together in self.together.get(FormRef(mark.id, *ref), ()):
            if not scope.meets(together):
                continue
            for at, dated in self.by_spell.get((other.mark, other.form, other.spell), ()):
                if _agree(scope, dated.scope):
                    bounds = bounds.meet(self.firsts[at])
        return bounds

    def _share_of_later(self, mark: Mark, old: tuple[str, int], new: tuple[str, int]) -> float:
        stated = share_stated(mark, old, new)
        return value_of("share_of_later", self.guide.overrides) if stated is None else stated

    def _present(self, line: GridLine, index: int, share: float) -> tuple[float, ...]:
        """Return the chance per bin that something with its own first and last was being fitted, times a share."""
        come, gone = ordered_marginals([self.firsts[index], self.lasts[index]], line.open_days)
        return tuple(
            share * max(sum(come[d] - gone[d] for d in days) / len(days), 0.0) if days else 0.0 for days in line.open_in
        )


def _in_days(limits: Limits) -> DayLimits:
    return DayLimits(limits.earliest / TICKS_PER_DAY, limits.latest / TICKS_PER_DAY)


def _one_whole(spells: list[float], otherwise: int) -> list[float]:
    whole = sum(spells)
    if whole <= 0.0:
        return [float(k == otherwise) for k in range(len(spells))]
    return [value / whole for value in spells]


def _together(guide: Guide) -> dict[FormRef, tuple[tuple[FormRef, Scope], ...]]:
    """Return, for each form that came in with others, those others and the cars for which that is so."""
    found: dict[FormRef, tuple[tuple[FormRef, Scope], ...]] = {}
    for one in guide.changed_together:
        for ref in one.forms:
            found[ref] = found.get(ref, ()) + tuple((other, one.scope) for other in one.forms if other != ref)
    return found


def _agree(one: Scope, other: Scope) -> bool:
    """Tell whether two scopes can be of one car and one says nothing that the other leaves wider."""
    return one.meets(other) and (one.within(other) or other.within(one))
