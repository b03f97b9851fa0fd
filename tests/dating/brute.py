"""Bayes by brute force: what a guide's cars allow to be known, from many drawn worlds. Nothing of guide.dating.

For each series, kind of car and half month: the chance of a car's reports, averaged over worlds and over days in
the half month, with the facelift, the re-trim, replacement and misreading summed out one by one.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tests.dating.simulate import Array, Car, Kind, Simulator

__all__ = ["Brute", "true_period"]


class Brute:
    """Tables of one guide; `periods` gives P(period) for a car from the reports of some marks."""

    def __init__(self, simulator: Simulator, worlds: int) -> None:
        self.simulator = simulator
        guide = simulator.guide
        self.world = simulator.worlds(worlds)
        first = guide.production.first
        edges = sorted(
            {
                int(np.searchsorted(simulator.open, day))
                for day in range(simulator.days)
                if first.fromordinal(first.toordinal() + day).day in (1, 16)
            }
            | {0, len(simulator.open)}
            | {int(np.searchsorted(simulator.open, (period.first - first).days)) for period in guide.periods.values()}
        )
        self.slots = [(low, high) for low, high in pairwise(edges) if high > low]
        self.period = np.array(
            [
                next(
                    at
                    for at, period in enumerate(guide.periods.values())
                    if (period.first - first).days <= simulator.open[low] <= (period.last - first).days
                )
                for low, _ in self.slots
            ]
        )
        self.tables = [self._tables(at) for at in range(len(simulator.chains))]

    def _tables(self, at: int) -> tuple[Array, Array, Array]:
        """Return per slot and world P(facelift came), P(form | before), P(form | after), for one chain."""
        simulator, chain = self.simulator, self.simulator.chains[at]
        forms = list(simulator.guide.marks[chain.mark].forms)
        onto = np.zeros((len(chain.forms), len(forms)))
        for spell, form in enumerate(chain.forms):
            onto[spell, forms.index(form)] = 1
        n = len(next(iter(self.world.firsts.values())))
        came, parts = [], []
        steady = (np.arange(n) + 0.5) / n
        for low, high in self.slots:
            days = low + (high - low) * steady
            come, *both = simulator.spells(self.world, at, days)
            share = simulator.optional(self.world, at, days)
            slot = []
            for chances in both:
                built = (chances @ onto) * (1 - share)[:, None]
                if chain.option is not None:
                    built[:, forms.index(chain.option[0])] += share
                slot.append(built)
            came.append(come)
            parts.append(slot)
        table = np.array(parts)  # slot, before or after, world, form
        if chain.shared is None:  # nothing is shared, so worlds can be averaged at once
            table = table.mean(axis=2, keepdims=True)
        return np.array(came), table[:, 0], table[:, 1]

    def _said(self, mark: str, form: str) -> Array:
        """Return P(reported as ``form`` | built), per form built."""
        one = self.simulator.guide.marks[mark]
        forms, wrong = list(one.forms), self.simulator.misread(one)
        chances = []
        for built in forms:
            found = np.array(self.simulator.replaced_by(one, built)) * (1 - one.survives_share)
            found[forms.index(built)] += one.survives_share
            right = found[forms.index(form)]
            other = wrong / max(len(forms) - 1, 1)
            chances.append((1 - wrong) * right + other * (1 - right) if len(forms) > 1 else 1.0)
        return np.array(chances)

    def periods(self, car_reports: dict[str, str]) -> Array:
        """Return P(period | reports)."""
        guide, simulator = self.simulator.guide, self.simulator
        total = np.zeros(len(guide.periods))
        said = {mark: self._said(mark, form) for mark, form in car_reports.items()}
        chains = enumerate(simulator.chains)
        read = {at: self._read(at, said[chain.mark]) for at, chain in chains if chain.mark in said}
        retrim = guide.renewed_together[0]
        own_set = [mark for mark in said if mark in retrim.marks]
        weights = {
            name: np.array([cars[low:high].sum() for low, high in self.slots]) for name, cars in simulator.cars.items()
        }
        for kind, share in simulator.kinds:
            whole = self._likelihood(read, list(said), kind)
            rest = self._likelihood(read, [mark for mark in said if mark not in own_set], kind)
            alone = self._likelihood(read, own_set, kind)
            for cars in weights.values():
                donors = (cars * alone).sum() / cars.sum()
                chance = (1 - retrim.share) * whole + retrim.share * rest * donors if own_set else whole
                np.add.at(total, self.period, cars * share * chance)
        posterior: NDArray[np.float64] = total / total.sum()
        return posterior

    def _read(self, at: int, said: Array) -> tuple[Array, Array]:
        """Return, per slot and world, the chance of a report of one chain's mark, before and after the facelift."""
        _, before, after = self.tables[at]
        return before @ said, after @ said

    def _likelihood(self, read: dict[int, tuple[Array, Array]], marks: list[str], kind: Kind) -> Array:
        chance, come = np.ones(len(self.slots)), None
        before, after = np.ones((len(self.slots), 1)), np.ones((len(self.slots), 1))
        for mark in marks:
            at = self.simulator.chain_of[mark, *kind.values()]
            if self.simulator.chains[at].shared is None:
                chance = chance * read[at][0][:, 0]
            else:
                come, before, after = self.tables[at][0], before * read[at][0], after * read[at][1]
        return chance if come is None else chance * ((1 - come) * before + come * after).mean(axis=1)


def true_period(simulator: Simulator, car: Car) -> int:
    """Return the index of the period that a car was built in."""
    first = simulator.guide.production.first
    return next(
        at
        for at, period in enumerate(simulator.guide.periods.values())
        if (period.first - first).days <= car.day < (period.last - first).days + 1
    )
