"""Cars drawn from the model itself, for trials of the walk-round card. Seeded, so the same model gives the same.

A drawn car has a slot, a form built per mark (group by group, as stages have it), perhaps a set renewed from a
donor of its own specification, parts lost and replaced, and a report of each mark, sometimes misread. As many as the
model has it were restored: each mark then has a form of the car's own era, or of that of the parts, one by one
(`guide.dating.belief.restored`).
"""

from __future__ import annotations

import random
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from guide.dating.belief.prepare import ERAS, Prepared
from guide.dating.belief.restored import eras_of_parts, shares_by_era, stays

__all__ = ["Drawn", "Sampler"]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One car: the cell it was built in, and for every mark the form built, found and reported (by index)."""

    cell: int
    built: tuple[int, ...]
    found: tuple[int, ...]
    reported: tuple[int, ...]


class Sampler:
    """Draws cars from a prepared model with one seeded source of chance."""

    def __init__(self, prepared: Prepared, seed: int) -> None:
        self.prepared = prepared
        self.chance = random.Random(seed)
        self._cells = list(accumulate(prepared.weights))
        marks = prepared.model.marks
        self._survive = [one.survives for one in marks]
        self._misread = [one.misread if len(one.forms) > 1 else None for one in marks]

    def draw(self) -> Drawn:
        """Return the next car."""
        cell, share = self._cell(0, len(self._cells)), self.prepared.model.chances.restored.share
        is_restored = share > 0.0 and self.chance.random() < share
        built, fitted = self._restored(cell) if is_restored else self._as_built(cell)
        chance = self.chance.random
        found = [
            form if chance() < survives else self._another(mark, form)
            for mark, (form, survives) in enumerate(zip(fitted, self._survive, strict=True))
        ]
        read = [
            form if misread is None or chance() >= misread else self._taken_for(mark, form)
            for mark, (form, misread) in enumerate(zip(found, self._misread, strict=True))
        ]
        return Drawn(cell, tuple(built), tuple(found), tuple(read))

    def _as_built(self, cell: int) -> tuple[list[int], list[int]]:
        """Return the form built and fitted per mark, of a car whose parts were lost or renewed as they came."""
        built = self._built(cell)
        fitted, row = list(built), cell // self.prepared.bins
        for one in self.prepared.model.sets:
            if self.chance.random() < one.share:
                donor = self._built(self._cell(row * self.prepared.bins, (row + 1) * self.prepared.bins))
                for mark in one.marks:
                    fitted[mark] = donor[mark]
        return built, fitted

    def _restored(self, cell: int) -> tuple[list[int], list[int]]:
        """Return the form built and fitted per mark, of a car restored with parts of another year."""
        prepared = self.prepared
        row, t = divmod(cell, prepared.bins)
        own = prepared.era_of[t]
        way, era = divmod(self._pick(eras_of_parts(prepared)[own * 2 * ERAS : (own + 1) * 2 * ERAS]), ERAS)
        built, fitted = [], []
        for mark in range(len(prepared.model.marks)):
            shares = shares_by_era(prepared, mark)[prepared.blocks[prepared.block_of[mark]].row_of[row]]
            built.append(self._pick(shares[own]))
            is_own = self.chance.random() < stays(prepared, mark)[way]
            fitted.append(built[-1] if is_own else self._pick(shares[era]))
        return built, fitted

    def _cell(self, start: int, end: int) -> int:
        low = self._cells[start - 1] if start else 0.0
        wanted = low + self.chance.random() * (self._cells[end - 1] - low)
        return min(bisect_right(self._cells, wanted, start, end), end - 1)

    def _built(self, cell: int) -> list[int]:
        prepared, model = self.prepared, self.prepared.model
        row, t = divmod(cell, prepared.bins)
        s, c = prepared.rows[row]
        built = [0] * len(model.marks)
        for group, stages in zip(model.groups, prepared.stages, strict=True):
            profile = stages.profiles[group.of[s][c]][t]
            stage = self._pick((stages.before[profile], stages.after[profile]))
            for mark, mixes in zip(group.marks, stages.mixes, strict=True):
                mix = model.marks[mark].mixes[mixes[stage][profile]]
                built[mark] = mix if isinstance(mix, int) else self._pick(mix)
        return built

    def _another(self, mark: int, form: int) -> int:
        """Return the form found where the part is lost."""
        one = self.prepared.model.marks[mark]
        return self._pick(one.replacement[form]) if one.replacement else self.chance.randrange(len(one.forms))

    def _taken_for(self, mark: int, form: int) -> int:
        """Return another form than is there."""
        count = len(self.prepared.model.marks[mark].forms)
        return (form + self.chance.randrange(1, count)) % count

    def _pick(self, chances: Sequence[float]) -> int:
        wanted = self.chance.random()
        for at, chance in enumerate(chances):
            wanted -= chance
            if wanted < 0.0:
                return at
        return max(range(len(chances)), key=lambda at: chances[at])
