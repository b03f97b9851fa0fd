"""What is believed of one car after everything said of it: the weights of all slots, and what follows at once."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from operator import add, mul, sub

from guide.dating.belief.blocks import block_likelihood, forms_built, spread, together, told_of, window_of
from guide.dating.belief.daily import Daily
from guide.dating.belief.evidence import Answer, Session, Vectors, hidden_by, reported, seen_forms, shows_part
from guide.dating.belief.number import Numbered, read_cars
from guide.dating.belief.papers import ASSEMBLED, RESTORED
from guide.dating.belief.prepare import Block, Prepared
from guide.dating.belief.restored import Seen

__all__ = ["Cells", "ImpossibleEvidence", "State", "believe", "chance_of_forms", "gather", "over_time"]


_REMEMBERED = 2000  # answers: all of a large guide, as the cars seen are dated one by one


class ImpossibleEvidence(Exception):
    """Nothing in the guide can be as was said: where parts always survive and nothing is misread, looks can exclude
    each other."""


class Cells:
    """Some cars as a weight per cell, up to a constant, and what of it lies in each block's own rows and pieces.

    All of that is remembered: many questions are asked of one block, and many blocks divide the rows alike.
    """

    def __init__(self, prepared: Prepared, weights: Sequence[float]) -> None:
        self.prepared = prepared
        self.weights = weights
        self.shares: dict[int, tuple[float, ...]] = {}  # what tell_apart.py remembers, per mark
        self._by_rows: dict[int, tuple[list[float], list[float]]] = {}  # by the identity of what blocks share
        self._masses: dict[int, list[float]] = {}
        self._within: dict[int, list[float]] = {}
        self._span: tuple[int, int] | None = None

    @property
    def span(self) -> tuple[int, int]:
        """The bins of all periods in which any of the cars were built, from the first up to, not including, the last;
        all bins of none."""
        if self._span is None:
            there = [t for t, weight in enumerate(over_time(self.prepared, self.weights)) if weight]
            cuts = sorted({end for line in self.prepared.stretches for first, end, _ in line})
            self._span = 0, self.prepared.bins
            if there:
                before = bisect_right(cuts, there[0])
                self._span = cuts[before - 1] if before else 0, cuts[bisect_left(cuts, there[-1] + 1)]
        return self._span

    def _sums(self, block: Block) -> tuple[list[float], list[float]]:
        """Return `gathered` and its running sums."""
        key = id(block.row_of)
        if key not in self._by_rows:
            cells = gather(self.prepared, self.weights, block.row_of, block.row_count)
            self._by_rows[key] = cells, list(accumulate(cells, initial=0.0))
        return self._by_rows[key]

    def gathered(self, block: int) -> list[float]:
        """Return the weights gathered into a block's own rows, end to end."""
        return self._sums(self.prepared.blocks[block])[0]

    def masses(self, block: int) -> list[float]:
        """Return the weight in each piece of a block."""
        if block not in self._masses:
            one = self.prepared.blocks[block]
            running = self._sums(one)[1]
            cuts = one.cuts(running)
            self._masses[block] = list(map(sub, cuts[1:], cuts))
        return self._masses[block]

    def masses_within(self, block: int) -> list[float]:
        """Return the weight in each piece within `span`, and nought at last; remembered as `masses`."""
        if block not in self._within:
            window, running = window_of(self.prepared, block, self.span), self._sums(self.prepared.blocks[block])[1]
            self._within[block] = list(map(sub, window.ends(running), window.starts(running)))
        return self._within[block]

    def settle(self) -> None:
        """Forget what lies in blocks: every mark's share is known, and of many kinds of car it would fill a machine."""
        self._by_rows.clear()
        self._masses.clear()
        self._within.clear()


@dataclass(frozen=True)  # without slots: what follows from the fields is worked out when first asked for
class State:
    """The belief about one car: what was said of it, and the weights per cell, ``weights``.

    ``prior`` is what number and papers leave; the likelihood per piece of the answers of each block of ``asked`` stands
    in ``told``; not normalised.
    """

    prepared: Prepared
    session: Session
    answers: tuple[tuple[int, Answer], ...]  # mark, answer: the last word on each mark, in order
    car: Numbered | str | None
    daily: Daily | None  # what number and papers say
    vectors: dict[int, Vectors]
    asked: tuple[int, ...]
    told: tuple[list[float], ...]
    prior: Sequence[float]
    restored: Seen | None  # the same of a restored car; None where none is
    share_restored: float  # before anything was seen
    weights: Sequence[float]  # P(slot | everything), per cell

    @cached_property
    def _everything(self) -> Cells:
        return Cells(self.prepared, self.weights)

    @cached_property
    def _laid(self) -> tuple[list[float], ...]:
        """The likelihood per cell of the answers of each block asked."""
        blocks = map(self.prepared.blocks.__getitem__, self.asked)
        return tuple(spread(self.prepared, block, line) for block, line in zip(blocks, self.told, strict=True))

    @cached_property
    def _before(self) -> tuple[Sequence[float], ...]:
        """The weights before the answers of each block, and after the last."""
        return tuple(accumulate(self._laid, lambda held, line: list(map(mul, held, line)), initial=self.prior))

    @cached_property
    def as_built(self) -> dict[int, Cells]:
        """Of cars as they were built: the weights with each answered block's own answers left out."""
        found: dict[int, Cells] = {}
        after: Sequence[float] | None = None
        for at, line, before in reversed(list(zip(self.asked, self._laid, self._before, strict=False))):
            found[at] = Cells(self.prepared, before if after is None else list(map(mul, before, after)))
            after = line if after is None else list(map(mul, after, line))
        return found

    @cached_property
    def _others(self) -> dict[int, Cells]:
        if self.restored is None:
            return self.as_built
        found, share = {}, self.share_restored
        for at, cells in self.as_built.items():
            line = map(mul, self.prior, self.restored.likelihoods(self.prepared.blocks[at].marks))
            mixed = [(1.0 - share) * one + share * other for one, other in zip(cells.weights, line, strict=True)]
            found[at] = Cells(self.prepared, mixed)
        return found

    @cached_property
    def _asked_again(self) -> dict[int, Cells]:
        if self.restored is None:
            return self.as_built
        return {
            at: Cells(self.prepared, [w / said if said else 0.0 for w, said in zip(self.weights, line, strict=True)])
            for at, line in zip(self.asked, self._laid, strict=True)
        }

    def without(self, block: int) -> Cells:
        """Return the weights with a block's own answers left out, up to a constant."""
        return self._others.get(block, self._everything)

    def asking(self, block: int) -> Cells:
        """Return the weights that a further answer to a block multiplies, together with those that it had.

        Of a restored car a further answer is taken to tell as much as of one as built: it only chooses looks.
        """
        return self._asked_again.get(block, self._everything)

    @cached_property
    def chance_restored(self) -> float:
        """The chance that the car was restored with parts of another year, given everything."""
        if self.restored is None:
            return 0.0
        other = self.share_restored * math.fsum(map(mul, self.prior, self.restored.likelihoods()))
        return other / ((1.0 - self.share_restored) * sum(self._before[-1]) + other)

    @cached_property
    def hidden(self) -> frozenset[int]:
        """The marks that what was found lies over, unless somebody looked beneath."""
        marks, looked_at = self.prepared.model.marks, {mark for mark, _ in self.answers}
        under = {other for mark, answer in self.answers for other in hidden_by(marks[mark], answer)}
        return frozenset(at for at, one in enumerate(marks) if one.id in under) - looked_at

    @cached_property
    def told_by_number(self) -> frozenset[int]:
        """The marks of what a car is as a whole that its number tells, unless that is hardly its own."""
        prepared, daily = self.prepared, self.daily
        model, bins = prepared.model, prepared.bins
        if daily is None or not isinstance(self.car, Numbered):
            return frozenset()
        if daily.chance_of_wrong_number(self.weights) > model.telling.apart:
            return frozenset()
        own = [w * (1.0 - wrong) for w, wrong in zip(self.prior, daily.wrong_by_cell, strict=True)]
        rows = [row for row in range(len(prepared.rows)) if any(own[row * bins : (row + 1) * bins])]
        told = []
        for mark, one in enumerate(model.marks):
            if one.kind in ("body", "split"):
                of = model.groups[prepared.blocks[prepared.block_of[mark]].groups[0]].of
                if len({of[s][c] for s, c in map(prepared.rows.__getitem__, rows)}) == 1:
                    told.append(mark)
        return frozenset(told)

    @cached_property
    def line(self) -> list[float]:
        """The weight of each bin, all rows together."""
        return over_time(self.prepared, self.weights)

    @cached_property
    def _within(self) -> dict[int, list[float]]:
        return {} if self.daily is None else self.daily.within(self.weights)

    def by_days(self, line: Sequence[float]) -> tuple[list[int], list[float]]:
        """Return edges and weights of a line of bins, those cut into days whose days number and papers tell apart.

        Of another line than `line` it is so nearly: its rows are taken to share a bin as they do now.
        """
        edges, weights = self.prepared.model.edges, []
        if not self._within:
            return list(edges), list(line)
        days: list[int] = []
        for t, weight in enumerate(line):
            shares = self._within.get(t, [1.0])
            days += range(edges[t], edges[t] + len(shares))
            weights += [weight * share for share in shares]
        return [*days, edges[-1]], weights

    @cached_property
    def densest(self) -> float:
        """A weight that no span fine enough holds more of."""
        edges, bins = self.prepared.model.edges, self.prepared.bins
        fine = self.prepared.model.stop.fine_days
        running = list(accumulate(self.line, initial=0.0))
        return max(running[bisect_left(edges, edges[t + 1] + fine, t + 1, bins)] - running[t] for t in range(bins))

    @cached_property
    def elsewhere(self) -> bool:
        """Whether the car may well have been put together elsewhere, so that its number has another time than it."""
        by_row = zip(self.by_row, self.prepared.assembled, strict=True)
        held = sum(weight for weight, span in by_row if span is not None)
        return ASSEMBLED in self.session.known or held >= self.prepared.model.telling.mention

    @cached_property
    def by_row(self) -> list[float]:
        """The weight of each row, all bins together."""
        bins = self.prepared.bins
        return [sum(self.weights[start : start + bins]) for start in range(0, len(self.weights), bins)]


def over_time(prepared: Prepared, weights: Sequence[float]) -> list[float]:
    """Return the weight of each bin, all rows together; ``weights`` are rows of bins end to end."""
    return gather(prepared, weights, [0] * (len(weights) // prepared.bins), 1)


def gather(prepared: Prepared, weights: Sequence[float], into: Sequence[int], rows: int) -> list[float]:
    """Return rows of bins, laid end to end, added up into fewer: ``into`` names the new row of each."""
    bins = prepared.bins
    lines: list[list[float] | None] = [None] * rows
    for row, at in enumerate(into):
        line, so_far = list(weights[row * bins : (row + 1) * bins]), lines[at]
        lines[at] = line if so_far is None else list(map(add, so_far, line))
    return [value for line in lines for value in ([0.0] * bins if line is None else line)]


def believe(prepared: Prepared, session: Session, *, paced: bool = True) -> State:
    """Return the belief after a session; not ``paced``: as if nothing were known of how fast cars were built between
    the days that papers name. Raises KeyError for a mark, form or paper that is not there, ValueError for
    what is no date, and `ImpossibleEvidence` where no car could be as was said."""
    said: dict[str, Answer] = {}
    for answer in session.answers:
        said.pop(answer.mark, None)
        said[answer.mark] = answer
    answers = tuple((prepared.marks_by_id[mark], answer) for mark, answer in said.items())
    marks = prepared.model.marks
    seen = {mark: seen_forms(marks[mark], answer) for mark, answer in answers}
    vectors = {mark: _vectors(prepared, mark, forms) for mark, forms in seen.items() if forms}
    weights: Sequence[float] = prepared.weights
    car, further = read_cars(prepared, session.car) if session.car else (None, ())
    numbers = (car, *further) if isinstance(car, Numbered) else further
    papers = {kind: text for kind, text in session.known.items() if kind != RESTORED}
    daily = Daily.of(prepared, numbers, papers, said, paced=paced)
    if daily is not None:
        weights = _normal(list(map(mul, weights, daily.by_cell)))
    weights = _having(prepared, weights, [mark for mark, answer in answers if shows_part(answer)])
    asked = tuple(sorted({prepared.block_of[mark] for mark in vectors}))
    blocks = [prepared.blocks[at] for at in asked]
    told = tuple(told_of(prepared, block, vectors) for block in blocks)
    cars = prepared.model.chances.restored
    share = cars.known if RESTORED in session.known else cars.share
    believed = list(weights)
    for line in together(prepared, blocks, vectors, told):
        believed = list(map(mul, believed, line))
    restored = None
    if share and vectors:
        restored = Seen.of(prepared, weights, vectors)
        other = map(mul, weights, restored.likelihoods())
        believed = [(1.0 - share) * one + share * two for one, two in zip(believed, other, strict=True)]
    return State(
        prepared, session, answers, car, daily, vectors, asked, told, weights, restored, share, _normal(believed)
    )


def _having(prepared: Prepared, weights: Sequence[float], marks: Sequence[int]) -> Sequence[float]:
    """Return the weights once it is known that the car has some marks: a row of cars without one only by misreading."""
    for one in (prepared.model.marks[mark] for mark in marks if prepared.model.marks[mark].had_by):
        chances = [1.0 if c in one.had_by[s] else one.misread for s, c in prepared.rows]
        weights = [weight * chances[cell // prepared.bins] for cell, weight in enumerate(weights)]
    return weights


def _vectors(prepared: Prepared, mark: int, forms: Sequence[int]) -> Vectors:
    """Return the factors of an answer; the last few thousand are remembered, because many cars show the same."""
    key = (mark, *forms)
    if key not in prepared.said:
        if len(prepared.said) > _REMEMBERED:
            prepared.said.clear()
        one = len(forms) == 1
        prepared.said[key] = Vectors.of_report(
            prepared.reports[mark][forms[0]] if one else reported(prepared.model.marks[mark], forms)[0]
        )
    return prepared.said[key]


def _normal(weights: Sequence[float]) -> list[float]:
    total = sum(weights)
    if total <= 0.0:
        raise ImpossibleEvidence
    return [weight / total for weight in weights]


def chance_of_forms(state: State, mark: int, *, leave_out: bool) -> list[float]:
    """Return, for each form of a mark, the chance that the car was built with it.

    ``leave_out`` leaves this mark's own answer out of account.
    """
    prepared = state.prepared
    at = prepared.block_of[mark]
    block, weights = prepared.blocks[at], state.as_built.get(at, state.without(at)).masses(at)
    count = len(prepared.model.marks[mark].forms)
    if at not in state.as_built:  # nothing was said of the block
        chances = [sum(map(mul, weights, line)) for line in forms_built(prepared, mark)]
        total = sum(chances)
        return [chance / total for chance in chances]
    restored = state.restored
    said = None if leave_out else state.vectors.get(mark)
    chances = []
    for form in range(count):
        one = [1.0 if built == form else 0.0 for built in range(count)]
        own, donor = (one, [1.0] * count) if said is None else (list(map(mul, one, said.own)), said.donor)
        vectors = Vectors(own, one, donor)
        line = block_likelihood(prepared, block, {**state.vectors, mark: vectors})
        chance = sum(map(mul, weights, line))
        if restored is not None:
            chance = (1.0 - state.share_restored) * chance + state.share_restored * restored.weigh(mark, vectors)
        chances.append(chance)
    total = sum(chances)
    return [chance / total for chance in chances]
