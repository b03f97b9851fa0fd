"""What all cars seen say together: counts by period, how sure they make us, and what an editor might state.

Only a car whose build lies certainly in one period is counted for it, and only marks where one form was
reported that is not said to be another car's. Nothing counted here reaches the dating by itself: a suggestion becomes
evidence when the editor states it in the facts, so that no car counts twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from guide.dating.key import Key
from guide.facts.reads import Question, note_fields, remembered, resting, worked_out
from guide.facts.recall import recalled
from guide.facts.types import Mark
from guide.limits.scopes import Dimensions
from guide.limits.types import LimitsResult
from guide.tally.built_with import BuiltWith, built_with, whole_marks
from guide.tally.changeovers import Changeover, Found, KnownCar, changeovers_of, known_cars
from guide.tally.estimate import wilson
from guide.tally.follows import Follows, follows_of
from guide.tally.how_many import SeriesSeen, series_seen
from guide.tally.look_for import LookFor, is_any_worth_looking, look_for
from guide.tally.suggest import Effect, Suggestion, effects_of, suggestions_of
from guide.tally.survival import Survival, survival_of
from guide.tally.unexplained import Alike, Unfit, unfit_cars

__all__ = ["FormCount", "MarkTally", "Tally", "derive_tally"]


class FormCount(NamedTuple):
    """How many cars of one period were found with a form: ``found`` of ``of``, with the 95 % interval."""

    form: str
    period: str
    found: int
    of: int
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class MarkTally:
    """One mark on the cars on which it was reported; what they say of it is worked out when it is asked for."""

    limits: LimitsResult
    dimensions: Dimensions
    mark: Mark
    found: tuple[Found, ...]

    @worked_out
    def counts(self) -> tuple[FormCount, ...]:
        """The counts of each form in each period, forms in order."""
        # A part that is not the car's own says nothing of when its form was fitted.
        told = [
            (one.report.forms[0], one.known.period)
            for one in self.found
            if one.report.kind == "form" and one.report.own is not False
        ]
        found, of = Counter(told), Counter(period for _, period in told)
        return tuple(
            FormCount(form, period, found[form, period], of[period], *wilson(found[form, period], of[period]))
            for form in self.mark.forms
            for period in self.limits.moments.guide.periods
            if of[period]
        )

    @property
    def changed(self) -> int:
        """On how many cars it had been changed."""
        return sum(one.report.kind == "changed" for one in self.found)

    @worked_out
    def looked_at(self) -> int:
        """On how many cars it was looked at."""
        return sum(one.report.kind != "cannot-tell" for one in self.found)

    @worked_out
    def follows(self) -> tuple[Follows, ...]:
        """Which of their numbers its changes follow, where cars have several."""
        return follows_of(self.limits, self.dimensions, self.mark)

    @worked_out
    def changeovers(self) -> tuple[Changeover, ...]:
        """Its changeovers as the cars tell them."""
        return changeovers_of(self.limits, self.mark, self.found, self.follows)

    @worked_out
    def suggestions(self) -> tuple[Suggestion, ...]:
        """What an editor might state of it."""
        return suggestions_of(self.limits, self.dimensions, self.mark, self.changeovers)


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Everything the cars seen say together; what is asked for on few pages is worked out when it is. It is counted
    from what is said of the cars; what statements have to do with it is read late, of limits and key."""

    limits: LimitsResult
    key: Key | None  # None: which cars fit nothing is not worked out
    known: tuple[KnownCar, ...]
    cars: int
    placed: int  # cars whose build lies certainly in one period
    marks: Mapping[str, MarkTally]
    claimed_twice: Mapping[str, int]  # by number, how many of the cars seen claim it

    @property
    def suggestions(self) -> tuple[Suggestion, ...]:
        """What an editor might state, in order of mark."""
        return tuple(one for told in self.marks.values() for one in told.suggestions)

    @worked_out
    def effects(self) -> list[Effect]:
        """What may be stated, each with what it does."""
        return effects_of(self.limits, self.suggestions)

    @worked_out
    def _built_with(self) -> list[BuiltWith | None]:
        return [None for _ in self.known] if self.key is None else built_with(self.key, self.known)

    @property
    def survival(self) -> dict[str, tuple[Survival, ...]]:
        """By mark, how many cars have their own part: of all, then of each period; none where no key is given."""
        return {mark: self.survival_at(mark) for mark in self.marks}

    def survival_at(self, mark: str) -> tuple[Survival, ...]:
        """Return `survival` of one mark."""
        question = Question(f"{__name__}.survival", (mark,))
        return remembered(
            vars(self), f"{mark}.survival", lambda: recalled(question, lambda: self._survival_at(self.marks[mark]))
        )

    def _survival_at(self, told: MarkTally) -> tuple[Survival, ...]:
        with resting("key", "frame", "tables"):  # of all that cars were built with no more is looked at than this mark
            built = {one.known.car.id: one for one in self._built_with if one is not None}
            key = self.key
        if key is not None:
            key.rest_on(told.mark.id, *whole_marks(key))
        found = [(built[one.known.car.id], one.report) for one in told.found if one.known.car.id in built]
        return survival_of(self.limits.moments.guide, told.mark, found)

    @property
    def survives_otherwise(self) -> tuple[Survival, ...]:
        """Where the guide's word on how many have their own part lies beside what was found, of all cars together."""
        return tuple(told[0] for told in self.survival.values() if told and told[0].differs)

    @worked_out
    def series(self) -> tuple[SeriesSeen, ...]:
        """What the cars seen say of each series of which some were."""
        lines = self.limits.moments.every.values()
        return tuple(one for line in lines if (one := series_seen(line, self.known)) is not None)

    def _changeovers(self) -> Iterator[Changeover]:
        return (one for told in self.marks.values() for one in told.changeovers)

    @worked_out
    def is_any_worth_looking(self) -> bool:
        """Whether there is a range in `look_for`: told by as few marks as will do."""
        return is_any_worth_looking(self.limits, self._changeovers())

    @worked_out
    def look_for(self) -> tuple[LookFor, ...]:
        """The ranges of numbers whose next car would narrow the limits most, best first."""
        return look_for(self.limits, self._changeovers())

    @worked_out
    def _unfit(self) -> tuple[tuple[Unfit, ...], tuple[Alike, ...]]:
        if self.key is None:
            return (), ()
        cars = list(zip(self.known, self._built_with, strict=True))
        return unfit_cars(self.limits.moments.guide, self.key, cars)

    @property
    def unfit(self) -> tuple[Unfit, ...]:
        """The cars that fit nothing."""
        return self._unfit[0]

    @property
    def alike(self) -> tuple[Alike, ...]:
        """Cars alike that no specification explains, rarest first."""
        return self._unfit[1]


note_fields(Tally, ("key",))


def derive_tally(limits: LimitsResult, key: Key | None = None) -> Tally:
    """Return what the cars seen say together."""
    guide = limits.moments.guide
    dimensions = Dimensions(guide)
    known = known_cars(limits, dimensions)
    found: dict[str, list[Found]] = {mark: [] for mark in guide.marks}
    for one in known:
        for report in one.car.reports:
            if report.mark in found:
                found[report.mark].append(Found(one, report))
    claimed = Counter(number.written for car in guide.cars_seen for number in car.numbers)
    return Tally(
        limits=limits,
        key=key,
        known=tuple(known),
        cars=len(known),
        placed=sum(one.period is not None for one in known),
        marks={
            mark: MarkTally(limits=limits, dimensions=dimensions, mark=guide.marks[mark], found=tuple(told))
            for mark, told in found.items()
        },
        claimed_twice={number: cars for number, cars in claimed.items() if cars > 1},
    )
