"""What number and papers say of a car day by day, which looks never do: they are told apart by bins at best.

The likelihood of a cell is the mean over its days. Within a bin the days are as likely as number and papers make them;
a bin whose days they hardly tell apart stays whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from operator import mul

from guide.dating.belief.evidence import Answer
from guide.dating.belief.number import Numbered, days_of_number, fits_row
from guide.dating.belief.papers import PART, days_of_known, factor_of_model_year
from guide.dating.belief.prepare import Prepared

__all__ = ["Daily"]

_ALIKE = 1.5  # a bin of which no day is so many times as likely as another stays whole


@dataclass(frozen=True)  # without slots: what follows from the fields is worked out when first asked for
class Daily:
    """``lines`` are likelihoods by day from the origin, ``line_of`` names the one of each row; ``wrong`` is that of a
    number that is not the car's own."""

    prepared: Prepared
    lines: tuple[list[float], ...]
    line_of: tuple[int, ...]
    wrong: list[float] | None
    by_cell: list[float]  # likelihood of every cell

    @classmethod
    def of(
        cls,
        prepared: Prepared,
        car: Numbered | None,
        known: Mapping[str, str],
        said: Mapping[str, Answer],
        *,
        paced: bool,
    ) -> Daily | None:
        """Return what number and papers say, or None where there is nothing of the kind; ``paced`` as `days_of_number`.

        Raises as `days_of_known`.
        """
        if car is None and not known:
            return None
        line = [1.0] * prepared.model.edges[-1]
        for kind, text in known.items():
            if kind != "model-year":
                renewed = said.get(kind.removeprefix(PART)) if kind.startswith(PART) else None
                is_own = renewed is None or renewed.kind not in ("changed", "none")
                line = list(map(mul, line, days_of_known(prepared, kind, text, is_own=is_own)))
        rows = range(len(prepared.rows))
        lines: tuple[list[float], ...] = (line,)
        line_of, wrong = tuple(0 for _ in rows), None
        if car is not None:
            right, other = days_of_number(prepared, car, paced=paced)
            wrong = list(map(mul, line, other))
            lines, line_of = (
                (list(map(mul, line, right)), wrong),
                tuple(int(not fits_row(prepared, car, r)) for r in rows),
            )
        means = [_means(prepared, one) for one in lines]
        cells = [value for at in line_of for value in means[at]]
        if "model-year" in known:
            cells = list(map(mul, cells, factor_of_model_year(prepared, known["model-year"].strip())))
        return cls(prepared, lines, line_of, wrong, cells)

    def chance_of_wrong_number(self, weights: Sequence[float]) -> float:
        """Return the chance that the number is not the car's own, given what is believed; nought of none."""
        return sum(weight * wrong for weight, wrong in zip(weights, self.wrong_by_cell, strict=True))

    @cached_property
    def wrong_by_cell(self) -> list[float]:
        """The chance that the number is not the own one of a car of each cell which carries it."""
        if self.wrong is None:
            return [0.0] * len(self.by_cell)
        wrong = self._means(self.wrong)
        parts = [
            [b / a if a else 0.0 for a, b in zip(means, wrong, strict=True)] for means in map(self._means, self.lines)
        ]
        return [value for at in self.line_of for value in parts[at]]

    def within(self, weights: Sequence[float]) -> dict[int, list[float]]:
        """Return, for each bin whose days differ, the share that each of them has of the bin's weight."""
        bins, found = self.prepared.bins, {}
        held = [[0.0] * bins for _ in self.lines]
        for row, at in enumerate(self.line_of):
            for t in range(bins):
                held[at][t] += weights[row * bins + t]
        means = [self._means(line) for line in self.lines]
        for t, (start, end) in enumerate(pairwise(self.prepared.model.edges)):
            days = [0.0] * (end - start)
            for line, mean, weight in zip(self.lines, means, held, strict=True):
                if weight[t] > 0.0 and mean[t] > 0.0:
                    share = weight[t] / mean[t]
                    days = [so_far + share * value for so_far, value in zip(days, line[start:end], strict=True)]
            whole = sum(days)
            if whole > 0.0 and max(days) > _ALIKE * min(days):
                found[t] = [day / whole for day in days]
        return found

    def _means(self, line: Sequence[float]) -> list[float]:
        return _means(self.prepared, line)


def _means(prepared: Prepared, line: Sequence[float]) -> list[float]:
    return [sum(line[start:end]) / (end - start) for start, end in pairwise(prepared.model.edges)]
