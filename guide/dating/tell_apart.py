"""Telling two kinds of car apart: which marks separate them, and how well.

Two measures stand side by side. *separation* is the total variation between what the two were built with, 0
(alike) to 1 (never alike): half the sum of the differences of the shares. *gain_bits* is what a look today
would tell about which of the two it is, each as likely beforehand, with replaced parts and misreadings allowed
for; marks are ranked by it, per effort where that decides. Source of both: the usual definitions (total
variation; mutual information, Shannon 1948).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from math import log2
from operator import mul, sub
from typing import NamedTuple

from guide.dating.belief.blocks import forms_built
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.state import Cells

__all__ = ["Told", "form_shares", "gain_between", "rank"]


_SAME = 1e-12


class Told(NamedTuple):
    """How one mark tells two things apart; ``one`` and ``other`` are the share of each form as built."""

    mark: str
    separation: float
    gain_bits: float
    reach: str
    one: tuple[float, ...]
    other: tuple[float, ...]

    @property
    def order(self) -> int:
        """Where it stands among others: the least comes first."""
        return -round(self.gain_bits * 1e7)


def form_shares(cars: Cells, mark: int) -> tuple[float, ...]:
    """Return the share of each form of a mark as built among some cars; of no cars at all, every form alike.

    Remembered with the cars: each kind is told from many others.
    """
    if mark not in cars.shares:
        cars.shares[mark] = _form_shares(cars, mark)
    return cars.shares[mark]


def _form_shares(cars: Cells, mark: int) -> tuple[float, ...]:
    prepared = cars.prepared
    held = cars.masses_within(prepared.block_of[mark])
    shares = [sum(map(mul, held, line)) for line in forms_built(prepared, mark, cars.span)]
    whole = sum(shares)
    return tuple([share / whole if whole > 0.0 else 1.0 / len(shares) for share in shares])


def gain_between(prepared: Prepared, mark: int, one: Sequence[float], other: Sequence[float]) -> float:
    """Return the bits that a look at a mark tells about which of two equally likely kinds a car is, given the shares
    of its forms as built in each; none where they are the same but for rounding."""
    if sum(map(abs, map(sub, one, other))) < _SAME:
        return 0.0
    gain = 1.0
    for said in prepared.reports[mark]:
        first, second = sum(map(mul, said, one)) / 2.0, sum(map(mul, said, other)) / 2.0
        whole, bits = first + second, 0.0  # the entropy of the two, as `guide.dating.belief.look.entropy` has it
        if first > 0.0:
            bits += first / whole * log2(first / whole)
        if second > 0.0:
            bits += second / whole * log2(second / whole)
        gain += whole * bits
    return max(gain, 0.0)


def rank(
    one: Cells, other: Cells, *, leave_out: Collection[int] = (), among: Iterable[int] | None = None
) -> tuple[Told, ...]:
    """Return the marks that tell two kinds of car apart, best first, ``among`` some or all; marks of ``leave_out`` are
    not weighed, nor what is known of a car without being seen."""
    prepared, rows = one.prepared, []
    for mark in range(len(prepared.model.marks)) if among is None else among:
        what = prepared.model.marks[mark]
        if mark not in leave_out and (what.kind == "mark" or what.ask):
            first, second = form_shares(one, mark), form_shares(other, mark)
            separation = sum([abs(a - b) for a, b in zip(first, second, strict=True)]) / 2.0
            gain = gain_between(prepared, mark, first, second)
            rows.append(Told(what.id, separation, gain, what.reach, first, second))
    one.settle()
    other.settle()
    return tuple(sorted(rows, key=lambda row: row.order))
