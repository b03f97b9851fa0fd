"""What is believed of one car after everything said of it: the weights of all slots, and what follows at once."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from operator import add, mul

from guide.dating.belief.blocks import block_likelihood, spread
from guide.dating.belief.evidence import Answer, Session, Vectors, reported, tells
from guide.dating.belief.number import Numbered, factor_of_number, read_car
from guide.dating.belief.papers import factor_of_known
from guide.dating.belief.prepare import Block, Prepared

__all__ = ["ImpossibleEvidence", "State", "believe", "chance_of_forms", "over_time"]


class ImpossibleEvidence(ValueError):
    """Nothing in the guide can be as was said: where parts always survive and nothing is misread, looks can exclude
    each other."""


@dataclass(frozen=True, slots=True)
class State:
    """The belief about one car.

    ``weights`` are P(slot | everything), per cell; ``others[block]`` the same without that block's answers
    (not normalised), for the blocks that were answered. ``factors[block]`` is the block's likelihood per piece.
    """

    prepared: Prepared
    session: Session
    answers: tuple[tuple[int, Answer], ...]  # mark, answer: the last word on each mark, in order
    car: Numbered | str | None
    vectors: dict[int, Vectors]
    weights: Sequence[float]
    others: dict[int, Sequence[float]]
    factors: dict[int, list[float]]
    most: list[float] = field(default_factory=list)  # what `densest` remembers
    sums: dict[tuple[int | None, tuple[int, ...]], tuple[list[float], list[float]]] = field(default_factory=dict)

    def _sums(self, block: int) -> tuple[list[float], list[float]]:
        """Return `gathered` and its running sums; remembered, for many blocks divide the rows alike."""
        one = self.prepared.blocks[block]
        key = (block if block in self.others else None, one.row_of)
        known = self.sums.get(key)
        if known is None:
            cells = _gather(self.prepared, one, self.without(block))
            known = self.sums[key] = cells, list(accumulate(cells, initial=0.0))
        return known

    def gathered(self, block: int) -> list[float]:
        """Return the weights, a block's own answers left out, gathered into its own rows end to end."""
        return self._sums(block)[0]

    def masses(self, block: int) -> list[float]:
        """Return the weight in each piece of a block, its own answers left out, up to a constant."""
        one, running = self.prepared.blocks[block], self._sums(block)[1]
        return [running[end] - running[start] for start, end in zip(one.starts, one.ends, strict=True)]

    def densest(self) -> float:
        """Return a weight that no span fine enough holds more of."""
        if not self.most:
            edges, fine = self.prepared.model.edges, self.prepared.model.stop.fine_days
            bins = self.prepared.bins
            running = list(accumulate(over_time(self.prepared, self.weights), initial=0.0))
            self.most.append(
                max(running[bisect_left(edges, edges[t + 1] + fine, t + 1, bins)] - running[t] for t in range(bins))
            )
        return self.most[0]

    def without(self, block: int) -> Sequence[float]:
        """Return the weights with a block's answers left out, up to a constant."""
        return self.others.get(block, self.weights)


def over_time(prepared: Prepared, weights: Sequence[float]) -> list[float]:
    """Return the weight of each bin, all rows together; ``weights`` are rows of bins end to end."""
    bins = prepared.bins
    line = list(weights[:bins])
    for start in range(bins, len(weights), bins):
        line = list(map(add, line, weights[start : start + bins]))
    return line


def believe(prepared: Prepared, session: Session) -> State:
    """Return the belief after a session. Raises ValueError for a mark, paper or date that is not there, and
    `ImpossibleEvidence` where no car could be as was said."""
    said: dict[str, Answer] = {}
    for answer in session.answers:
        if answer.mark not in prepared.marks_by_id:
            raise ValueError(f"expected a mark of this guide, found '{answer.mark}'")
        said.pop(answer.mark, None)
        said[answer.mark] = answer
    answers = tuple((prepared.marks_by_id[mark], answer) for mark, answer in said.items())
    vectors = {mark: _vectors(prepared, mark, answer) for mark, answer in answers if tells(answer)}
    weights: Sequence[float] = prepared.weights
    car = read_car(prepared, session.car) if session.car else None
    if isinstance(car, Numbered):
        weights = _normal(list(map(mul, weights, factor_of_number(prepared, car))))
    for kind, text in session.known.items():
        renewed = said.get(kind[5:]) if kind.startswith("part:") else None
        is_own = renewed is None or renewed.kind not in ("changed", "none")
        weights = _normal(list(map(mul, weights, factor_of_known(prepared, kind, text, is_own=is_own))))
    asked = sorted({prepared.block_of[mark] for mark in vectors})
    factors = {at: block_likelihood(prepared, prepared.blocks[at], vectors) for at in asked}
    laid = [spread(prepared, prepared.blocks[at], factors[at]) for at in asked]
    before = [weights]
    for line in laid:
        before.append(list(map(mul, before[-1], line)))
    others: dict[int, Sequence[float]] = {}
    after: Sequence[float] | None = None
    for at in range(len(asked) - 1, -1, -1):
        others[asked[at]] = before[at] if after is None else list(map(mul, before[at], after))
        after = laid[at] if after is None else list(map(mul, after, laid[at]))
    return State(prepared, session, answers, car, vectors, _normal(before[-1]), others, factors)


def _vectors(prepared: Prepared, mark: int, answer: Answer) -> Vectors:
    names = [form.id for form in prepared.model.marks[mark].forms]
    for form in answer.forms:
        if form not in names:
            raise ValueError(f"expected a form of '{answer.mark}' ({', '.join(names)}), found '{form}'")
    own, _ = reported(prepared.model.marks[mark], [names.index(form) for form in answer.forms])
    return Vectors(own, [1.0] * len(names), own)


def _normal(weights: Sequence[float]) -> list[float]:
    total = sum(weights)
    if total <= 0.0:
        raise ImpossibleEvidence("expected answers that some car can give, found none that can give them all")
    return [weight / total for weight in weights]


def _gather(prepared: Prepared, block: Block, weights: Sequence[float]) -> list[float]:
    bins = prepared.bins
    lines: list[list[float] | None] = [None] * block.row_count
    for row, at in enumerate(block.row_of):
        line, known = list(weights[row * bins : (row + 1) * bins]), lines[at]
        lines[at] = line if known is None else list(map(add, known, line))
    return [value for line in lines if line is not None for value in line]


def chance_of_forms(state: State, mark: int, *, leave_out: bool) -> list[float]:
    """Return, for each form of a mark, the chance that the car was built with it.

    ``leave_out`` leaves this mark's own answer out of account.
    """
    prepared = state.prepared
    at = prepared.block_of[mark]
    block = prepared.blocks[at]
    weights = state.masses(at)
    vectors: Mapping[int, Vectors] = state.vectors
    count = len(prepared.model.marks[mark].forms)
    said = vectors.get(mark)
    chances = []
    for form in range(count):
        one = [1.0 if built == form else 0.0 for built in range(count)]
        if leave_out or said is None:
            asked = Vectors(one, one, [1.0] * count)
        else:
            asked = Vectors([a * b for a, b in zip(one, said.own, strict=True)], one, said.donor)
        line = block_likelihood(prepared, block, {**vectors, mark: asked})
        chances.append(sum(map(mul, weights, line)))
    total = sum(chances)
    return [chance / total for chance in chances]
