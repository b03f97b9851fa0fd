"""Telling two apart: which marks separate two periods, interiors or forms, and how well.

Two measures stand side by side. *separation* is the total variation between what the two were built with, 0
(alike) to 1 (never alike): half the sum of the differences of the shares. *gain_bits* is what a look today
would tell about which of the two it is, each as likely beforehand, with replaced parts and misreadings allowed
for; marks are ranked by it, per effort where that decides. Source of both: the usual definitions (total
variation; mutual information, Shannon 1948).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from guide.dating.belief.blocks import block_likelihood, spread
from guide.dating.belief.evidence import Vectors
from guide.dating.belief.look import entropy
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.model import Model

__all__ = ["Told", "form_shares", "rank_forms", "rank_interiors", "rank_periods"]


@dataclass(frozen=True, slots=True)
class Told:
    """How one mark tells two things apart; ``one`` and ``other`` are the share of each form as built."""

    mark: str
    separation: float
    gain_bits: float
    survives: float
    reach: str
    one: tuple[float, ...]
    other: tuple[float, ...]


def rank_periods(model: Model, one: str, other: str) -> list[Told]:
    """Return the marks that tell two periods apart, best first. Raises ValueError for an unknown period."""
    prepared = prepare(model)
    return _rank(prepared, _of_period(prepared, one), _of_period(prepared, other), leave_out=())


def rank_interiors(model: Model, one: str, other: str) -> list[Told]:
    """Return the marks that tell two interiors apart, best first, the trim itself left out."""
    prepared = prepare(model)
    trim = next((at for at, mark in enumerate(model.marks) if mark.kind == "interior"), None)
    if trim is None:
        raise ValueError("expected a guide with two interiors or more, found none to tell apart")
    return _rank(prepared, _with_form(prepared, trim, one), _with_form(prepared, trim, other), leave_out=(trim,))


def rank_forms(model: Model, mark: str, one: str, other: str) -> list[Told]:
    """Return the other marks that tell cars built with one form of a mark from those with another."""
    prepared = prepare(model)
    if mark not in prepared.marks_by_id:
        raise ValueError(f"expected a mark of this guide, found '{mark}'")
    at = prepared.marks_by_id[mark]
    return _rank(prepared, _with_form(prepared, at, one), _with_form(prepared, at, other), leave_out=(at,))


def form_shares(prepared: Prepared, weights: Sequence[float], mark: int) -> list[float]:
    """Return the share of each form as built among cars of these weights (per cell, any total)."""
    forms = prepared.model.marks[mark].forms
    shares = [_weigh(prepared, weights, mark, form) for form in range(len(forms))]
    whole = sum(shares)
    return [share / whole for share in shares] if whole > 0.0 else [1.0 / len(forms)] * len(forms)


def _weigh(prepared: Prepared, weights: Sequence[float], mark: int, form: int) -> float:
    return sum(w * f for w, f in zip(weights, _built_with(prepared, mark, form), strict=True))


def _built_with(prepared: Prepared, mark: int, form: int) -> list[float]:
    """Return, per cell, the chance that a car built there was built with a form."""
    count = len(prepared.model.marks[mark].forms)
    vector = [1.0 if built == form else 0.0 for built in range(count)]
    block = prepared.blocks[prepared.block_of[mark]]
    line = block_likelihood(prepared, block, {mark: Vectors(vector, vector, [1.0] * count)})
    return spread(prepared, block, line)


def _of_period(prepared: Prepared, name: str) -> list[float]:
    at = next((at for at, period in enumerate(prepared.model.periods) if period.id == name), None)
    if at is None:
        raise ValueError(f"expected a period of this guide, found '{name}'")
    return [
        weight if prepared.period_of[cell % prepared.bins] == at else 0.0
        for cell, weight in enumerate(prepared.weights)
    ]


def _with_form(prepared: Prepared, mark: int, name: str) -> list[float]:
    names = [form.id for form in prepared.model.marks[mark].forms]
    if name not in names:
        raise ValueError(f"expected one of {', '.join(names)}, found '{name}'")
    built = _built_with(prepared, mark, names.index(name))
    return [weight * share for weight, share in zip(prepared.weights, built, strict=True)]


def _rank(prepared: Prepared, one: Sequence[float], other: Sequence[float], *, leave_out: Sequence[int]) -> list[Told]:
    rows = []
    for mark, what in enumerate(prepared.model.marks):
        if mark in leave_out:
            continue
        first, second = form_shares(prepared, one, mark), form_shares(prepared, other, mark)
        rows.append(
            Told(
                mark=what.id,
                separation=sum(abs(a - b) for a, b in zip(first, second, strict=True)) / 2.0,
                gain_bits=_gain(prepared, mark, first, second),
                survives=what.survives,
                reach=what.reach,
                one=tuple(first),
                other=tuple(second),
            )
        )
    return sorted(rows, key=lambda row: -round(row.gain_bits * 1e7))


def _gain(prepared: Prepared, mark: int, one: Sequence[float], other: Sequence[float]) -> float:
    """Return the bits that a look tells about which of two equally likely things a car is."""
    gain = 1.0
    for said in prepared.reports[mark]:
        pair = [sum(a * b for a, b in zip(said, shares, strict=True)) / 2.0 for shares in (one, other)]
        gain -= sum(pair) * entropy(pair)
    return max(gain, 0.0)
