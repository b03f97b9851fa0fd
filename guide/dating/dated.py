"""One car dated: what is believed of it, and everything that follows, each thing once, when it is first asked for."""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise

from guide.dating.belief.ahead import choose_ahead
from guide.dating.belief.apart import Apart, stands_apart
from guide.dating.belief.evidence import Session, seen_forms
from guide.dating.belief.look import Look, choose, looks, period_chances, would_stop
from guide.dating.belief.number import Numbered
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.result import Concluded
from guide.dating.belief.state import State, believe
from guide.dating.fitted import FittedForm, FittedMark, fitted_of

__all__ = ["Dated"]


class Dated:
    """What can be concluded of one car. Raises as `believe` when it is made."""

    def __init__(self, prepared: Prepared, session: Session) -> None:
        self.prepared = prepared
        self.session = session
        self.state: State = believe(prepared, session)

    @property
    def number(self) -> Numbered | None:
        """The car's number, where one was given that could be read."""
        return self.state.car if isinstance(self.state.car, Numbered) else None

    @cached_property
    def figures(self) -> Concluded:
        """Every figure of the result."""
        return Concluded(self.state)

    @cached_property
    def fitted(self) -> list[FittedMark]:
        """What the works can have fitted to it."""
        return fitted_of(self.state, self.figures.nine)

    @cached_property
    def right(self) -> dict[int, list[FittedForm]]:
        """By part that was looked at, those of the forms found that the works can have fitted to such a car."""
        marks, fitted = self.prepared.model.marks, {one.mark: one.forms for one in self.fitted}
        found = {mark: seen_forms(marks[mark], answer) for mark, answer in self.state.answers}
        return {
            mark: [form for form in fitted.get(mark, ()) if form.form in forms]
            for mark, forms in found.items()
            if marks[mark].kind == "mark"
        }

    @cached_property
    def apart(self) -> list[Apart]:
        """How far each answered mark stands apart, most likely first."""
        return stands_apart(self.state)

    @cached_property
    def looks(self) -> list[Look]:
        """Every look that could be next, in the guide's order."""
        return looks(self.state)

    @property
    def _least(self) -> float:
        return self.prepared.model.stop.gain_bits

    @cached_property
    def _enough(self) -> str | None:
        state = self.state
        return would_stop(state, period_chances(self.prepared, state.line, state.weights), state.line)

    @cached_property
    def within(self) -> Look | None:
        """The best look within reach; None where none is worth it. Which of several models it is comes before all.

        Once one would stop nothing is left to do after any look: then it is what tells most for its effort.
        """
        model, worth = self.prepared.model, [one for one in self.looks if one.within and one.gain_bits >= self._least]
        own = any(period.series for period in model.periods)
        first = [one for one in worth if own and model.marks[one.mark].kind == "body"]
        return choose(first or worth, self._least) if self._enough else choose_ahead(self.state, first or worth)

    @cached_property
    def beyond(self) -> Look | None:
        """The best look beyond the reach, where it would tell more than the best within."""
        best = choose([one for one in self.looks if not one.within], self._least)
        if best is not None and self.within is not None and best.gain_bits <= self.within.gain_bits + 1e-9:
            return None
        return best

    @cached_property
    def stopped(self) -> str | None:
        """Why the key asks nothing more (a ``stopped.code``), or None where it asks for `next`."""
        if self._enough is not None or self.within is not None:
            return self._enough
        return "nothing-left" if choose(self.looks, self._least) is None else "nothing-in-reach"

    @property
    def next(self) -> Look | None:
        """The look that the key asks for, or None where it stops."""
        return None if self.stopped else self.within

    @cached_property
    def paced(self) -> bool:
        """Whether the date rests on an even pace of building: the papers alone would leave it much longer."""
        if self.number is None or self.number.position is None or self.state.elsewhere:
            return False
        alone = Concluded(believe(self.prepared, self.session, paced=False))
        return self.figures.length < self.prepared.model.telling.shorter * alone.length

    @cached_property
    def two_dates(self) -> bool:
        """Whether the widest span is two, and not only parted by days on which nothing was built."""
        nine, edges = self.figures.nine, self.prepared.model.edges
        return len(nine) > 1 and any(
            cars > 0.0 and nine[0].end <= start and end <= nine[1].start
            for series in self.prepared.model.series
            for cars, (start, end) in zip(series.cars, pairwise(edges), strict=True)
        )

    @cached_property
    def number_wrong(self) -> float:
        """The chance that the number is not the car's own; nought where none was read."""
        return self.state.daily.chance_of_wrong_number(self.state.weights) if self.state.daily else 0.0
