"""What a reader must hear before believing a result: each doubt with its code, its chance and its sentence.

Two dates are given each with what speaks for it: the answers, and the number, that are at least twice as likely at the
one as at the other, or where there are none the one that leans most that way.
The twin is guide/browser/dating/doubts.js.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import mul

from guide.dating.apart_sentences import groups_apart
from guide.dating.belief.blocks import block_likelihood, spread
from guide.dating.belief.papers import RESTORED
from guide.dating.belief.result import dates_of
from guide.dating.belief.span import Stretch
from guide.dating.dated import Dated
from guide.sentence import Sentence, Value, all_of, month_span, sentence

__all__ = ["Doubt", "doubts"]

_SPEAKS = 2.0  # times as likely at one date as at the other
_LEANS = 1.1  # where nothing speaks so clearly, what leans most that way does


@dataclass(frozen=True, slots=True)
class Doubt:
    """One doubt; ``chance`` is that of what it says, None where that has none."""

    code: str
    chance: float | None
    words: Sentence


def doubts(dated: Dated) -> list[Doubt]:
    """Return the doubts, the most serious first."""
    return list(_doubts(dated))


def _doubts(dated: Dated) -> Iterator[Doubt]:
    state, telling = dated.state, dated.prepared.model.telling
    wrong, restored = dated.number_wrong, state.chance_restored
    may_be_restored = restored >= telling.warns_from(numbered=dated.number is not None)
    written = dated.number.written if dated.number else ""
    if dated.number and wrong > telling.apart:
        name = "dating.doubt.number_or_restored" if may_be_restored else "dating.doubt.number"
        yield Doubt("number-does-not-fit", wrong, sentence(name, number=written))
    elif may_be_restored and dated.number:
        yield Doubt("restored", restored, sentence("dating.doubt.restored_or_number", number=written))
    elif may_be_restored:
        yield Doubt("restored", restored, sentence("dating.doubt.restored"))
    for group in groups_apart(dated):
        if group["renewed"]:
            marks = dated.prepared.marks_by_id
            chance = max(one.chance for one in dated.apart if one.mark in [marks[mark] for mark in group["marks"]])
            yield Doubt("renewed-together", chance, group["says"])
    if dated.two_dates and (said := _two_dates(dated)):
        yield Doubt("two-dates", None, said)
    if not state.vectors and dated.number:
        yield Doubt("number-alone", None, sentence("dating.because.number"))
    elif not state.vectors and any(kind != RESTORED for kind in dated.session.known):
        yield Doubt("paper-alone", None, sentence("dating.because.paper"))


def _two_dates(dated: Dated) -> Sentence | None:
    """Return the two dates with what speaks for each; None where beside a number nothing speaks for one of them."""
    nine = dated.figures.nine
    speaking = [_speaking(dated, nine, at) for at in (0, 1)]
    if dated.number and not all(speaking):
        return None
    said = []
    for stretch, parts in zip(nine, speaking, strict=True):
        first, last = (day.replace(day=1) for day in dates_of(dated.prepared, stretch))
        span = month_span(first, last)
        said.append(sentence("dating.doubt.date_by", span=span, parts=all_of(parts)) if parts else span)
    name = "dating.doubt.two_dates_number" if dated.number else "dating.doubt.two_dates"
    return sentence(name, one=said[0], other=said[1])


def _speaking(dated: Dated, nine: Sequence[Stretch], at: int) -> list[Value]:
    """Return what speaks for one of two dates: the number, then marks in the order of the answers."""
    prepared, state = dated.prepared, dated.state
    shares = [_inside(dated, stretch) for stretch in nine]
    cells = [list(map(mul, prepared.weights, share)) for share in shares]
    whole = [sum(one) or 1.0 for one in cells]

    def times(line: Sequence[float]) -> float:
        means = [sum(map(mul, one, line)) / total for one, total in zip(cells, whole, strict=True)]
        return means[at] / means[1 - at] if means[1 - at] > 0.0 else math.inf

    found: list[tuple[Value, float]] = []
    if dated.number and state.daily is not None:
        number = sentence("dating.doubt.its_number", number=dated.number.written)
        found.append((number, times(state.daily.by_cell)))
    for mark, vectors in state.vectors.items():
        block = prepared.blocks[prepared.block_of[mark]]
        line = spread(prepared, block, block_likelihood(prepared, block, {mark: vectors}))
        found.append((prepared.model.marks[mark].name, times(line)))
    said = [name for name, likely in found if likely > _SPEAKS]
    most = max(found, key=lambda one: min(round(one[1], 7), _SPEAKS), default=("", 0.0))
    return said or [most[0]] if said or most[1] > _LEANS else []


def _inside(dated: Dated, stretch: Stretch) -> list[float]:
    """Return for each cell the part of its bin that lies in a stretch."""
    edges = dated.prepared.model.edges
    line = [
        max(0.0, min(stretch.end, end) - max(stretch.start, start)) / (end - start) for start, end in pairwise(edges)
    ]
    return line * len(dated.prepared.rows)
