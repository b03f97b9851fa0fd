"""What number and papers say of a car day by day, which looks never do: they are told apart by bins at best.

The likelihood of a cell is the mean over its days. Within a bin the days are as likely as number and papers make them;
a bin whose days they hardly tell apart stays whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import pairwise
from operator import mul

from guide.dating.belief.delay import Span, delayed
from guide.dating.belief.evidence import Answer
from guide.dating.belief.number import Numbered, days_of_number, fits_row
from guide.dating.belief.papers import ASSEMBLED, DESPATCHED, PART, days_of_known, days_of_model_year
from guide.dating.belief.prepare import Prepared

__all__ = ["Daily"]

_Kind = tuple[Span | None, int | None]  # how long after its number a car was built, and the series where that counts
_ALIKE = 1.5  # a bin of which no day is so many times as likely as another stays whole


@dataclass(frozen=True, slots=True)
class _Papers:
    """What papers say by the day of build, and by that of the number: the two are one but for cars put together
    elsewhere."""

    prepared: Prepared
    of_build: list[float] | None  # None: nothing
    of_number: list[float] | None
    spans: tuple[Span | None, ...]  # per row
    year: str | None  # of model

    @classmethod
    def of(cls, prepared: Prepared, known: Mapping[str, str], said: Mapping[str, Answer]) -> _Papers:
        spans = prepared.assembled
        if ASSEMBLED in known and not prepared.model.assembled:  # no plant is known: any car may have been put together
            spans = ((0, prepared.model.chances.assembled_days),) * len(spans)
        lines: dict[bool, list[float] | None] = {True: None, False: None}
        for kind, text in known.items():
            if kind != "model-year":
                renewed = said.get(kind.removeprefix(PART)) if kind.startswith(PART) else None
                is_own = renewed is None or renewed.kind not in ("changed", "none")
                of_build = kind != DESPATCHED or not any(spans)
                lines[of_build] = _both(lines[of_build], days_of_known(prepared, kind, text, is_own=is_own))
        return cls(prepared, lines[True], lines[False], spans, known.get("model-year"))

    def kind_of(self, row: int) -> _Kind:
        """Return what of a row the papers tell apart."""
        return self.spans[row], None if self.year is None else self.prepared.rows[row][0]

    def with_numbers(self, numbers: Sequence[list[float]], kind: _Kind) -> list[float]:
        """Return the likelihood by the day of build of papers and numbers together."""
        span, series = kind
        built, sent, given = self.of_build, self.of_number, reduce(_both, numbers, None)
        if self.year is not None and series is not None:
            line, is_of_build = days_of_model_year(self.prepared, self.year.strip(), series)
            built = _both(built, line) if is_of_build else built
            given = given if is_of_build else _both(given, line)
        if span is not None and span[0] >= 0:  # a kit was sent off between its number and its build
            sent, given = None, _both(given, sent)
        if span is not None and given is not None:
            given = delayed(given, span, min(given))
        said = _both(_both(built, sent), given)
        return [1.0] * self.prepared.model.edges[-1] if said is None else said


@dataclass(frozen=True)  # without slots: what follows from the fields is worked out when first asked for
class Daily:
    """``lines`` are likelihoods by day from the origin, ``line_of`` names the one of each row; ``wrong`` are those of a
    number that is not the car's own, none where none was given."""

    prepared: Prepared
    lines: tuple[list[float], ...]
    line_of: tuple[int, ...]
    wrong: tuple[list[float], ...]
    means: tuple[list[float], ...]  # of each of the lines, by bin

    @classmethod
    def of(
        cls,
        prepared: Prepared,
        numbers: Sequence[Numbered],
        known: Mapping[str, str],
        said: Mapping[str, Answer],
        *,
        paced: bool,
    ) -> Daily | None:
        """Return what numbers and papers say, or None where there is nothing of the kind; ``paced`` as
        `days_of_number`. Of the numbers the first is told of where it is not the car's own.

        Raises as `days_of_known`.
        """
        if not numbers and not known:
            return None
        papers = _Papers.of(prepared, known, said)
        told = [days_of_number(prepared, one, paced=paced) for one in numbers]
        kinds: dict[tuple[tuple[bool, ...], _Kind], int] = {}
        line_of = [
            kinds.setdefault((tuple(fits_row(prepared, one, row) for one in numbers), papers.kind_of(row)), len(kinds))
            for row in range(len(prepared.rows))
        ]
        lines, wrong = [], []
        for fits, kind in kinds:
            right = [one[not fit] for one, fit in zip(told, fits, strict=True)]
            lines.append(papers.with_numbers(right, kind))
            wrong += [papers.with_numbers([told[0][1], *right[1:]], kind)] if numbers else []
        return cls(prepared, tuple(lines), tuple(line_of), tuple(wrong), tuple(_means(prepared, one) for one in lines))

    @cached_property
    def by_cell(self) -> list[float]:
        """The likelihood of every cell."""
        return [value for at in self.line_of for value in self.means[at]]

    def chance_of_wrong_number(self, weights: Sequence[float]) -> float:
        """Return the chance that the number is not the car's own, given what is believed; nought of none."""
        return sum(weight * wrong for weight, wrong in zip(weights, self.wrong_by_cell, strict=True))

    @cached_property
    def wrong_by_cell(self) -> list[float]:
        """The chance that the number is not the own one of a car of each cell which carries it."""
        if not self.wrong:
            return [0.0] * len(self.by_cell)
        parts = [
            [b / a if a else 0.0 for a, b in zip(means, _means(self.prepared, wrong), strict=True)]
            for means, wrong in zip(self.means, self.wrong, strict=True)
        ]
        return [value for at in self.line_of for value in parts[at]]

    def within(self, weights: Sequence[float]) -> dict[int, list[float]]:
        """Return, for each bin whose days differ, the share that each of them has of the bin's weight."""
        bins, found = self.prepared.bins, {}
        held = [[0.0] * bins for _ in self.lines]
        for row, at in enumerate(self.line_of):
            for t in range(bins):
                held[at][t] += weights[row * bins + t]
        for t, (start, end) in enumerate(pairwise(self.prepared.model.edges)):
            days = [0.0] * (end - start)
            for line, mean, weight in zip(self.lines, self.means, held, strict=True):
                if weight[t] > 0.0 and mean[t] > 0.0:
                    share = weight[t] / mean[t]
                    days = [so_far + share * value for so_far, value in zip(days, line[start:end], strict=True)]
            whole = sum(days)
            if whole > 0.0 and max(days) > _ALIKE * min(days):
                found[t] = [day / whole for day in days]
        return found


def _both(one: list[float] | None, other: list[float] | None) -> list[float] | None:
    """Return what two lines say together; None: nothing, 1 throughout."""
    if one is None or other is None:
        return other if one is None else one
    return list(map(mul, one, other))


def _means(prepared: Prepared, line: Sequence[float]) -> list[float]:
    return [sum(line[start:end]) / (end - start) for start, end in pairwise(prepared.model.edges)]
