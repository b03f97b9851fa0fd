"""The world of a guide, drawn at random, and its cars: what dating is tried against. Imports nothing of guide.dating.

One *world* fixes when every changeover really happened: uniformly over open days within its limits, the firsts of a
chain in order, the lasts in order, and no last before the first that it overlaps; what changed together changed at
one moment. Within a world each car has a day, a value of each split (market, hand where it has one), an interior, and
for every mark a form built, a form found today (own, replaced, or come with a re-trim from a donor car) and a form
reported.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.constants import value_of
from guide.facts.types import FittedAs, FormRef, Guide, Mark, Scope
from guide.finding import TICKS_PER_DAY
from guide.limits.positions import series_lines
from guide.limits.types import LimitsResult

__all__ = ["Car", "Chain", "Kind", "Simulator", "World"]

Array = NDArray[np.float64]
Kind = dict[str, str]  # what the works built: a value of each split, in the guide's order, and the interior


@dataclass(frozen=True, slots=True)
class Car:
    """One car: day built (real, from the start of production), what it is, and its marks by id."""

    day: float
    series: str
    kind: Kind
    built: dict[str, str]
    found: dict[str, str]
    reported: dict[str, str]


@dataclass(slots=True)
class Chain:
    """The spells of a mark on one kind of car, in order: limits of what lies between, as open days."""

    mark: str
    forms: list[str]
    refs: list[FormRef]
    firsts: list[tuple[float, float]]
    lasts: list[tuple[float, float]]
    shared: int | None  # which changeover came with the facelift
    option: tuple[str, float, tuple[float, float], tuple[float, float]] | None


@dataclass(slots=True)
class World:
    """When things happened, ``n`` times over: per chain the firsts and lasts, arrays (n, changeovers)."""

    firsts: dict[int, Array] = field(default_factory=dict)
    lasts: dict[int, Array] = field(default_factory=dict)
    options: dict[int, tuple[Array, Array]] = field(default_factory=dict)


class Simulator:
    """Draws worlds and cars for one guide with one seeded source of chance."""

    def __init__(self, guide: Guide, limits: LimitsResult, seed: int) -> None:
        self.guide, self.limits = guide, limits
        self.rng = np.random.default_rng(seed)
        first, last = guide.production.first, guide.production.last
        closed = {day for one in guide.closures for day in range((one.first - first).days, (one.last - first).days + 1)}
        self.days = (last - first).days + 1
        self.open = np.array([day for day in range(self.days) if day not in closed])
        self.cars: dict[str, Array] = {}
        for name, line in series_lines(guide).items():
            by = np.array([0.0, *(line.cars_by(first.fromordinal(first.toordinal() + int(d))) for d in self.open)])
            self.cars[name] = np.diff(by)
        self.shares = {
            name: self._shares([(row.value, row.share) for row in guide.shares if row.split == name], list(one.values))
            for name, one in guide.splits.items()
        }
        self.shares["interior"] = self._shares(
            [(one.id, one.share) for one in guide.interiors.values()], list(guide.interiors)
        )
        self.kinds: list[tuple[Kind, float]] = [
            (dict(zip(self.shares, (value for value, _ in one), strict=True)), prod(share for _, share in one))
            for one in product(*(shares.items() for shares in self.shares.values()))
        ]
        self.moment = {ref for one in guide.changed_together for ref in one.forms}
        self.chains: list[Chain] = []
        self.chain_of: dict[tuple[str, ...], int] = {}
        known: dict[Any, int] = {}
        for mark in guide.marks.values():
            for kind, _ in self.kinds:
                key, chain = self._chain(mark, kind)
                if key not in known:
                    known[key] = len(self.chains)
                    self.chains.append(chain)
                self.chain_of[mark.id, *kind.values()] = known[key]

    @staticmethod
    def _shares(stated: Sequence[tuple[str, float | None]], values: Sequence[str]) -> dict[str, float]:
        known = {value: share for value, share in stated if share is not None}
        rest = [value for value in values if value not in known]
        return {value: known.get(value, (1 - sum(known.values())) / max(len(rest), 1)) for value in values}

    def _open_day(self, day: float) -> float:
        """Return a day as a count of open days before it, with a fraction."""
        whole = int(np.searchsorted(self.open, np.floor(day)))
        inside = whole < len(self.open) and self.open[whole] == np.floor(day)
        return whole + (day - np.floor(day) if inside else 0.0)

    def _chain(self, mark: Mark, car: Kind) -> tuple[Any, Chain]:
        def best(form: str, spell: int) -> int:
            fits = [
                (len(d.scope.parts), -at)
                for at, d in enumerate(self.limits.spells)
                if (d.mark, d.form, d.spell) == (mark.id, form, spell) and self._holds(d.scope, car)
            ]
            return -max(fits)[1]

        indexes = [best(ref.form, ref.spell) for ref in mark.order]
        dated = [self.limits.spells[at] for at in indexes]
        overlap = value_of("overlap", self.guide.overrides)

        def ends(limits: Any) -> tuple[float, float]:
            return limits.earliest / TICKS_PER_DAY, limits.latest / TICKS_PER_DAY

        firsts = [ends(d.first) for d in dated[1:]]
        lasts = []
        latest = -1.0
        for d, first in zip(dated, firsts, strict=False):
            low, high = ends(d.last)
            low = max(low, first[0])
            latest = max(latest, low)
            lasts.append((low, max(high if d.last_is_stated else min(high, first[1] + overlap), latest)))
        option = None
        for form in mark.forms.values():
            if form.is_option:
                at = best(form.id, 1)
                d = self.limits.spells[at]
                share = next(f.share for f in form.fitted_as if f.kind is FittedAs.OPTION)
                option = (form.id, float(share or 0.0), self._opened(ends(d.first)), self._opened(ends(d.last)))
                indexes.append(at)
        shared = next((at for at, ref in enumerate(mark.order[1:]) if ref in self.moment), None)
        return (mark.id, tuple(indexes)), Chain(
            mark.id,
            [ref.form for ref in mark.order],
            list(mark.order),
            [self._opened(one) for one in firsts],
            [self._opened(one) for one in lasts],
            shared,
            option,
        )

    def _opened(self, ends: tuple[float, float]) -> tuple[float, float]:
        return self._open_day(ends[0]), self._open_day(ends[1])

    @staticmethod
    def _holds(scope: Scope, car: Kind) -> bool:
        return all(car[dimension] in values for dimension, values in scope.parts)

    # Worlds

    def worlds(self, n: int) -> World:
        """Return ``n`` worlds at once."""
        world = World()
        moment: tuple[Array, Array] | None = None
        for at, chain in enumerate(self.chains):
            if chain.shared is not None and moment is None:
                at_once = self.rng.uniform(*chain.firsts[chain.shared], size=n)
                moment = at_once, at_once
            firsts, lasts = self._ordered(chain, n, moment if chain.shared is not None else None)
            world.firsts[at], world.lasts[at] = firsts, lasts
            if chain.option is not None:
                first, last = chain.option[2], chain.option[3]
                world.options[at] = self.rng.uniform(*first, size=n), self.rng.uniform(*last, size=n)
        return world

    def _ordered(self, chain: Chain, n: int, moment: tuple[Array, Array] | None) -> tuple[Array, Array]:
        count = len(chain.firsts)
        firsts, lasts = np.zeros((n, count)), np.zeros((n, count))
        left = np.arange(n)
        for _ in range(400):
            f = np.stack([self.rng.uniform(*one, size=len(left)) for one in chain.firsts], axis=1)
            g = np.stack([self.rng.uniform(*one, size=len(left)) for one in chain.lasts], axis=1)
            if moment is not None and chain.shared is not None:
                f[:, chain.shared], g[:, chain.shared] = moment[0][left], moment[1][left]
            good = (np.diff(f, axis=1) >= 0).all(1) & (np.diff(g, axis=1) >= 0).all(1) & (f <= g).all(1)
            firsts[left], lasts[left] = f, g
            left = left[~good]
            if not len(left):
                break
        firsts[left], lasts[left] = np.sort(firsts[left], axis=1), np.sort(lasts[left], axis=1)
        return firsts, lasts

    def passed(self, world: World, at: int, days: Array) -> Array:
        """Return, for open days (one per world), how far each changeover of a chain had come: (n, changeovers)."""
        share = value_of("share_of_later", self.guide.overrides)
        come = share * (world.firsts[at] <= days[:, None]) + (1 - share) * (world.lasts[at] <= days[:, None])
        return np.minimum.accumulate(come, axis=1)

    def spells(self, world: World, at: int, days: Array) -> tuple[Array, Array, Array]:
        """Return P(facelift had come), P(spell | before it) and P(spell | after it); alike where it is not shared."""
        come = self.passed(world, at, days)
        n, shared = len(days), self.chains[at].shared
        edges = np.concatenate([np.ones((n, 1)), come, np.zeros((n, 1))], axis=1)
        chances = edges[:, :-1] - edges[:, 1:]
        if shared is None:
            return np.zeros(n), chances, chances
        before, after = chances.copy(), chances.copy()
        before[:, shared + 1 :] = 0
        after[:, : shared + 1] = 0
        for part, otherwise in ((before, shared), (after, shared + 1)):
            whole = part.sum(1)
            part[whole <= 0, otherwise] = 1
            part /= part.sum(1)[:, None]
        return come[:, shared], before, after

    def optional(self, world: World, at: int, days: Array) -> Array:
        """Return the chance that a car has the option of a chain."""
        option = self.chains[at].option
        if option is None:
            return np.zeros(len(days))
        first, last = world.options[at]
        fitted: Array = option[1] * ((first <= days) & (days < last)).astype(np.float64)
        return fitted

    # Cars

    def draw_cars(self, count: int) -> list[Car]:
        """Return cars of one world, drawn now."""
        world = self.worlds(1)
        names = list(self.cars)
        weights = np.array([self.cars[name].sum() for name in names])
        chosen = self.rng.choice(len(names), p=weights / weights.sum(), size=count)
        return [self._car(world, names[int(at)]) for at in chosen]

    def _pick(self, shares: dict[str, float]) -> str:
        return str(self.rng.choice(list(shares), p=list(shares.values())))

    def draw_kind(self) -> Kind:
        """Return what a car is, drawn now: each split by its own shares."""
        return {name: self._pick(shares) for name, shares in self.shares.items()}

    def _day(self, series: str) -> float:
        cars = self.cars[series]
        return float(self.rng.choice(len(cars), p=cars / cars.sum()) + self.rng.uniform())

    def _built(self, world: World, day: float, kind: Kind) -> dict[str, str]:
        facelift = self.rng.uniform()
        built = {}
        for mark in self.guide.marks:
            at = self.chain_of[mark, *kind.values()]
            days = np.array([day])
            come, before, after = self.spells(world, at, days)
            chances = after[0] if facelift < come[0] else before[0]
            chain = self.chains[at]
            if chain.option is not None and self.rng.uniform() < self.optional(world, at, days)[0]:
                built[mark] = chain.option[0]
            else:
                built[mark] = chain.forms[int(self.rng.choice(len(chances), p=chances))]
        return built

    def _car(self, world: World, series: str) -> Car:
        kind = self.draw_kind()
        day = self._day(series)
        built = self._built(world, day, kind)
        fitted = dict(built)
        for one in self.guide.renewed_together:
            if self.rng.uniform() < one.share:
                donor = self._built(world, self._day(series), kind)
                fitted |= {mark: donor[mark] for mark in one.marks}
        found = {mark: self._found(self.guide.marks[mark], form) for mark, form in fitted.items()}
        reported = {mark: self._read(self.guide.marks[mark], form) for mark, form in found.items()}
        whole = int(day)
        return Car(float(self.open[whole] + day - whole), series, kind, built, found, reported)

    def _found(self, mark: Mark, form: str) -> str:
        if self.rng.uniform() < mark.survives_share:
            return form
        return str(self.rng.choice(list(mark.forms), p=self.replaced_by(mark, form)))

    def replaced_by(self, mark: Mark, form: str) -> list[float]:
        """Return the chance of each form when the part was replaced."""
        habit, count = value_of("habit", self.guide.overrides), len(mark.forms)
        spare = [
            any(f.kind is FittedAs.SERVICE_PART and (form in f.in_place_of or form == name) for f in one.fitted_as)
            for name, one in mark.forms.items()
        ]
        if not any(spare):
            return [1 / count] * count
        return [habit * fits / sum(spare) + (1 - habit) / count for fits in spare]

    def misread(self, mark: Mark) -> float:
        """Return the chance that a mark is misread."""
        return value_of("misread", self.guide.overrides) if mark.misread_share is None else mark.misread_share

    def _read(self, mark: Mark, form: str) -> str:
        others = [name for name in mark.forms if name != form]
        if others and self.rng.uniform() < self.misread(mark):
            return str(self.rng.choice(others))
        return form
