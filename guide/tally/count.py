"""What all cars seen say together: counts by period, how sure they make us, and what an editor might state.

Only a car whose build lies certainly in one period is counted for it, and only marks where one form was
reported that is not said to be another car's. Nothing counted here reaches the dating by itself: a suggestion becomes
evidence when the editor states it in the facts, so that no car counts twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from guide.dating.key import Key
from guide.facts.types import Guide, Mark
from guide.limits.scopes import Dimensions
from guide.limits.types import LimitsResult
from guide.tally.built_with import BuiltWith, built_with
from guide.tally.changeovers import Changeover, KnownCar, changeovers_of, known_cars
from guide.tally.estimate import wilson
from guide.tally.follows import Follows, follows_of
from guide.tally.how_many import SeriesSeen, series_seen
from guide.tally.look_for import LookFor, look_for
from guide.tally.suggest import Suggestion, suggestions_of
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


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkTally:
    """One mark's counts, forms in order; its changeovers as the cars tell them; what an editor might state."""

    counts: tuple[FormCount, ...]
    changed: int  # cars where it had been changed
    looked_at: int
    follows: tuple[Follows, ...]  # which of their numbers its changes follow, where cars have several
    changeovers: tuple[Changeover, ...]
    suggestions: tuple[Suggestion, ...]


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Everything the cars seen say together; what is asked for on few pages is worked out when it is."""

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

    @cached_property
    def _built_with(self) -> list[BuiltWith | None]:
        return [None if self.key is None else built_with(self.key, one) for one in self.known]

    @cached_property
    def survival(self) -> dict[str, tuple[Survival, ...]]:
        """By mark, how many cars have their own part: of all, then of each period; none where no key is given."""
        guide = self.limits.moments.guide
        cars = [
            (built, _period_of(known, guide))
            for known, built in zip(self.known, self._built_with, strict=True)
            if built is not None
        ]
        return {mark.id: survival_of(guide, mark, cars) for mark in guide.marks.values()}

    @property
    def survives_otherwise(self) -> tuple[Survival, ...]:
        """Where the guide's word on how many have their own part lies beside what was found, of all cars together."""
        return tuple(told[0] for told in self.survival.values() if told and told[0].differs)

    @cached_property
    def series(self) -> tuple[SeriesSeen, ...]:
        """What the cars seen say of each series of which some were."""
        lines = self.limits.moments.every.values()
        return tuple(one for line in lines if (one := series_seen(line, self.known)) is not None)

    @cached_property
    def look_for(self) -> tuple[LookFor, ...]:
        """The ranges of numbers whose next car would narrow the limits most, best first."""
        return look_for(self.limits, (one for told in self.marks.values() for one in told.changeovers))

    @cached_property
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


def _period_of(known: KnownCar, guide: Guide) -> str | None:
    """Return the period that holds all days on which a car can have been built."""
    days, series = known.days, {one.series for one in known.car.numbers}
    periods = guide.periods.values() if days is not None else ()
    own = [one for one in periods if not one.series or not series or series & set(one.series)]
    return next((one.id for one in own if days is not None and one.first <= days[0] and days[1] <= one.last), None)


def _mark_tally(
    limits: LimitsResult, dimensions: Dimensions, mark: Mark, cars: Sequence[tuple[KnownCar, str | None]]
) -> MarkTally:
    guide = limits.moments.guide
    reported = [(report, period) for one, period in cars for report in one.car.reports if report.mark == mark.id]
    # A part that is not the car's own says nothing of when its form was fitted.
    told = [
        (report.forms[0], period) for report, period in reported if report.kind == "form" and report.own is not False
    ]
    found, of, follows = Counter(told), Counter(period for _, period in told), follows_of(limits, dimensions, mark)
    changeovers = changeovers_of(limits, mark, [one for one, _ in cars], follows)
    return MarkTally(
        counts=tuple(
            FormCount(form, period, found[form, period], of[period], *wilson(found[form, period], of[period]))
            for form in mark.forms
            for period in guide.periods
            if of[period]
        ),
        changed=sum(report.kind == "changed" for report, _ in reported),
        looked_at=sum(report.kind != "cannot-tell" for report, _ in reported),
        follows=follows,
        changeovers=changeovers,
        suggestions=suggestions_of(limits, dimensions, mark, changeovers),
    )


def derive_tally(limits: LimitsResult, key: Key | None = None) -> Tally:
    """Return what the cars seen say together."""
    guide = limits.moments.guide
    dimensions = Dimensions(guide)
    known = known_cars(limits, dimensions)
    cars = [(one, _period_of(one, guide)) for one in known]
    claimed = Counter(number.written for car in guide.cars_seen for number in car.numbers)
    return Tally(
        limits=limits,
        key=key,
        known=tuple(known),
        cars=len(known),
        placed=sum(period is not None for _, period in cars),
        marks={mark.id: _mark_tally(limits, dimensions, mark, cars) for mark in guide.marks.values()},
        claimed_twice={number: cars for number, cars in claimed.items() if cars > 1},
    )
