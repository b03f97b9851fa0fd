"""How many cars still have their own part, by period, beside what the guide reckons with.

Theory
------
A part may have been renewed unseen: with its like, or with a form that fits the car's time. So what is estimated is the
share s of cars with their own part, by the very law that the guide dates cars with. Of a car whose time is known:

    found with form f, nothing said:  s . b(f)  +  (1 - s)(1 - q) . r(f)
    said to be its own, form f:       s . b(f)
    said not to be, changed, none:    (1 - s) q

where b(f) is the chance that it was built with f (a misreading given), r(f) that a renewed part is f
(`guide.dating.belief.evidence`), and q, the chance that people notice a renewed part, is not known. The likelihood,
made to add up to one over all s and q alike, gives the interval that leaves 2.5 % on either side. Cars believed
untouched were picked for it and are left out, as are cars of which the guide hardly knows what form the works fitted:
where its papers are few, b(f) is no more than a guess. Source of the law of renewed parts: the guide's own dating; of
the flat weighing of s and q: Bayes, An essay towards solving a problem in the doctrine of chances, 1763.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import lru_cache, partial, reduce
from itertools import accumulate, repeat
from math import exp, log
from operator import add, mul, sub
from typing import NamedTuple

from guide.constants import value_of
from guide.dating.building.askable import replacement_habits
from guide.facts.types import Guide, Mark, Report
from guide.tally.built_with import BuiltWith

__all__ = ["ENOUGH", "Believed", "Judged", "Survival", "share_own", "survival_of"]

ENOUGH = 8  # cars by which the guide's own figure may be doubted
_SHARES = [at / 100 for at in range(101)]
_NOTICED = [(at + 0.5) / 10 for at in range(10)]
_TAIL = 0.025
_HARDLY = 0.0005  # the chance from which on the guide's own figure is doubted
_KNOWN = 0.9  # the chance of one form from which on it is known what the works fitted to a car
_LEAST = 1e-9  # what is held for impossible is not quite
_REMEMBERED = 512  # looks: rounded as they are, nearly all of a guide


class Judged(NamedTuple):
    """One look as the estimate takes it: the chance of what was found if the part is the car's own, and if renewed.

    ``said`` is True or False where people said whether it is the car's own, None where nothing was said.
    """

    said: bool | None
    if_own: float
    if_renewed: float


_ANOTHER = Judged(False, 1.0, 1.0)  # a part said not to be the car's own


class Survival(NamedTuple):
    """Of ``of`` cars of a period (empty: all) ``own`` have a part that can be their own and is not said to be another.

    ``share`` is the estimate, ``low`` and ``high`` its 95 % interval, ``guide_says`` what the guide reckons with, and
    ``beyond`` the chance that the share lies on the far side of that.
    """

    mark: str
    period: str
    own: int
    of: int
    share: float
    low: float
    high: float
    guide_says: float
    beyond: float

    @property
    def differs(self) -> bool:
        """Whether the guide's figure can hardly be right, of cars enough to say so.

        Of many parts some lie outside their intervals by chance, and an editor is to change none for that.
        """
        return self.of >= ENOUGH and self.beyond < _HARDLY


class Believed(NamedTuple):
    """The share of cars with their own part: its mean and 95 % interval, and the chance that it is no greater than each
    hundredth."""

    mean: float
    low: float
    high: float
    up_to: tuple[float, ...]

    def beyond(self, share: float) -> float:
        """Return the chance that the share lies on that side of another on which it is the less likely."""
        below = self.up_to[min(100, int(100 * share + 0.5))]
        return min(below, 1 - below)


@lru_cache(_REMEMBERED)
def _told(look: Judged) -> tuple[float, ...]:
    """Return the logarithm of a look's chance for each share, and in it for each chance that people notice."""
    chances = []
    for share in _SHARES:
        own, renewed = share * look.if_own, (1 - share) * look.if_renewed
        if look.said is None:
            chances += [own + (1 - noticed) * renewed for noticed in _NOTICED]
        else:
            chances += [own if look.said else (1 - share) * noticed for noticed in _NOTICED]
    return tuple([log(max(chance, _LEAST)) for chance in chances])


def share_own(looks: Iterable[Judged]) -> Believed:
    """Return what is believed of the share of cars with their own part, in steps of one in a hundred; the looks one by
    one, or each with the number of cars."""
    counted = Counter[Judged]()
    for one, cars in Counter(looks).items():
        counted[_rounded(*one)] += cars
    return _share_own(tuple(sorted(counted.items(), key=repr)))


@lru_cache(_REMEMBERED)
def _share_own(counted: tuple[tuple[Judged, int], ...]) -> Believed:
    """Return `share_own` of looks in hundredths, each with the number of cars: of few cars many parts show the same."""
    lines = (map(mul, repeat(float(cars)), _told(look)) for look, cars in counted)
    nothing: Iterable[float] = repeat(0.0, len(_SHARES) * len(_NOTICED))
    found = list(reduce(partial(map, add), lines, nothing))
    each = map(exp, map(sub, found, repeat(max(found))))
    weights = list(map(sum, zip(*[each] * len(_NOTICED), strict=True)))  # of each share in turn
    passed, whole = list(accumulate(weights)), sum(weights)
    low, high = bisect_right(passed, _TAIL * whole), bisect_left(passed, (1 - _TAIL) * whole)
    mean = sum(map(mul, _SHARES, weights)) / whole
    return Believed(mean, _SHARES[low], _SHARES[high], tuple([one / whole for one in passed]))


def _rounded(said: bool | None, if_own: float, if_renewed: float) -> Judged:
    """Return a look in hundredths: of so few kinds all cars are reckoned at once."""
    return Judged(said, round(if_own, 2), round(if_renewed, 2))


def survival_of(guide: Guide, mark: Mark, cars: Iterable[tuple[BuiltWith, Report]]) -> tuple[Survival, ...]:
    """Return how many of the cars looked at, each given with the report, have their own part: of all, then of each
    period."""
    judge = _Judge(guide, mark)
    looks = defaultdict[str, Counter[Judged]](Counter)  # by period
    own = Counter[str]()
    for car, report in cars:
        if not car.known.car.untouched and (judged := judge.look(report, car)) is not None:
            look, can_be_own = judged
            period = car.known.period or ""
            looks[period][look] += 1
            own[period] += can_be_own
    if not looks:
        return ()
    told = [(period, looks[period], own[period]) for period in guide.periods if period in looks]
    every = sum(looks.values(), Counter())
    return tuple(_counted(mark, *one) for one in [("", every, own.total()), *told])


def _counted(mark: Mark, period: str, looks: Counter[Judged], own: int) -> Survival:
    found, says = share_own(looks), mark.survives_share
    return Survival(mark.id, period, own, looks.total(), found.mean, found.low, found.high, says, found.beyond(says))


class _Judge:
    """Takes looks at a mark as the estimate has them."""

    def __init__(self, guide: Guide, mark: Mark) -> None:
        self._at, forms = {form: at for at, form in enumerate(mark.forms)}, len(mark.forms)
        self._mark, habits = mark.id, replacement_habits(mark, guide.overrides)
        self._renewed = list(zip(*habits, strict=True)) if habits else [[1 / forms] * forms] * forms
        misread = value_of("misread", guide.overrides) if mark.misread_share is None else mark.misread_share
        self._other = misread / (forms - 1 or 1)
        self._more = 1 - misread - self._other

    def look(self, report: Report, car: BuiltWith) -> tuple[Judged, bool] | None:
        """Return a look as the estimate takes it, in hundredths, and whether the part can be the car's own; None of one
        that could not tell, or left several forms open, and of one at a car of which the guide hardly knows what the
        works fitted, or knows nothing."""
        built = car.chances_of(self._mark)
        if not built or max(built) < _KNOWN:
            return None
        if report.kind in ("changed", "none") or (report.own is False and report.forms):
            return _ANOTHER, False
        if report.kind != "form":
            return None
        at = self._at[report.forms[0]]
        if_own, if_renewed = built[at], sum(map(mul, built, self._renewed[at]))
        own, renewed = self._other + self._more * if_own, self._other + self._more * if_renewed
        return _rounded(report.own, own, renewed), own > renewed if report.own is None else report.own
