"""One car is one record, whoever looked and however often: what was read of the sheets, joined into cars.

Theory
------
A car is known by its number, its suffix left out. What was noted of it twice in the very same words (a sheet handed in
again, whole or with more) counts once and is told. Looks on several days are one car with its latest look at each part;
"cannot tell" is no look. Where looks of different people say contrary things of a part, that is kept to be told: on
different days the latest counts, for a part may have been changed between; on one day neither does, and the part
counts as either; so it is where one sheet says both of one day. Two cars may bear one number: a line that says so is
another car, and no other is.

A car without a number is itself alone. A line of another sheet that says the very same of one, and says enough that
this is no chance, repeats it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import combinations
from typing import Generic, NamedTuple, TypeVar

from guide.facts.values import CarNumber
from guide.finding import Place

__all__ = ["Answered", "Disagreement", "Joined", "Noted", "Report", "join_cars"]

T = TypeVar("T")
_ENOUGH = 4  # parts alike, by which two lines without a number are the same line


@dataclass(frozen=True, kw_only=True, slots=True)
class Report:
    """What was found at one mark of a car seen: forms, or ``changed``, ``none``, ``cannot-tell``."""

    mark: str
    forms: tuple[str, ...]
    kind: str  # form, several, changed, none, cannot-tell (as output.md)
    own: bool | None = None  # believed the car's own
    place: Place

    @property
    def answer(self) -> str:
        """The answer as it is typed, but for whether the part is the car's own."""
        return "+".join(self.forms) or self.kind

    def is_contrary_to(self, other: Report) -> bool:
        """Tell whether two answers cannot both be right of one part at one time."""
        if "cannot-tell" in (self.kind, other.kind):
            return False
        if self.forms and other.forms:
            return not set(self.forms) & set(other.forms) or {self.own, other.own} == {True, False}
        return self.kind != other.kind and (bool(self.own or other.own) or "none" in (self.kind, other.kind))


@dataclass(frozen=True, slots=True)
class Answered:
    """One of the answers that disagree: what was said, where, and when that was looked at."""

    answer: str
    place: Place
    day: date | None


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Contrary answers of different people, in order of their days; ``mark`` is the mark's id, or the split's."""

    mark: str
    answers: tuple[Answered, ...]
    on_one_day: bool  # the latest of them are of one day, or of days not known: none is the later


@dataclass(frozen=True, kw_only=True, slots=True)
class Noted:
    """One line about one car, as it was read. ``untouched`` is None where nothing is said."""

    numbers: tuple[CarNumber, ...]
    number_text: str
    day: date | None
    splits: Mapping[str, str]
    reports: tuple[Report, ...]
    untouched: bool | None
    remarks: str
    another: bool  # said to be another car than the one whose number it bears
    place: Place

    @property
    def keys(self) -> tuple[tuple[str, str], ...]:
        """What a car with these numbers is known by, the most telling first; empty without a number."""
        read = tuple((one.series, f"{one.prefix}{one.number}") for one in self.numbers)
        typed = "".join(self.number_text.split()).casefold()
        return read or ((("", typed),) if typed else ())

    @property
    def words(self) -> tuple[object, ...]:
        """All that it says, by which a line is told from another."""
        said = tuple((one.mark, one.forms, one.kind, one.own) for one in self.reports)
        splits = tuple(sorted(self.splits.items()))
        return self.keys, self.day, splits, said, bool(self.untouched), self.remarks, self.another


@dataclass(kw_only=True, slots=True)
class Joined:
    """The lines of one car, by their index into all lines, in order of day; and what they come to."""

    lines: list[int]
    repeats: list[tuple[Place, Place]] = field(default_factory=list)  # lines that say the same as one, each with that
    splits: dict[str, str] = field(default_factory=dict)
    reports: tuple[Report, ...] = ()
    untouched: bool = False
    disagreements: tuple[Disagreement, ...] = ()


def join_cars(lines: Sequence[Noted]) -> list[Joined]:
    """Return the cars that lines are about, in order of their first line."""
    repeats = _repeats(lines)
    cars: list[Joined] = []
    by_key: defaultdict[tuple[str, str], list[Joined]] = defaultdict(list)
    chassis = {key: one.keys[0] for one in lines for key in one.keys[1:]}
    for at, line in enumerate(lines):
        if at in repeats:
            continue
        known = [chassis.get(key, key) for key in line.keys[:1]]
        same = next((car for key in known for car in by_key[key] if lines[car.lines[0]].another is line.another), None)
        if same is None:
            same = Joined(lines=[])
            cars.append(same)
            for key in known:
                by_key[key].append(same)
        same.lines.append(at)
    of_line = {at: car for car in cars for at in car.lines}
    for again, first in repeats.items():
        of_line[first].repeats.append((lines[again].place, lines[first].place))
    for car in cars:
        car.lines.sort(key=lambda at: (lines[at].day or date.min, at))
        _settle(car, [lines[at] for at in car.lines])
    return cars


def _repeats(lines: Sequence[Noted]) -> dict[int, int]:
    """Return the lines that say the same as an earlier one, each with that."""
    first: defaultdict[tuple[object, ...], list[int]] = defaultdict(list)
    met: Counter[tuple[str, tuple[object, ...]]] = Counter()
    repeats: dict[int, int] = {}
    for at, line in enumerate(lines):
        words = line.words
        if line.keys:
            earlier = first[words][0] if first[words] else None
        elif len(line.reports) < _ENOUGH:
            continue
        else:  # the second such line of a file repeats the second of another
            nth = met[line.place.file, words]
            met[line.place.file, words] += 1
            others = [one for one in first[words] if lines[one].place.file != line.place.file]
            earlier = others[nth] if nth < len(others) else None
        if earlier is None:
            first[words].append(at)
        else:
            repeats[at] = earlier
    return repeats


def _settle(car: Joined, looks: Sequence[Noted]) -> None:
    """Work out what the looks at one car, in order of day, come to."""
    said = [one.untouched for one in looks if one.untouched is not None]
    car.untouched = said[-1] if said else False
    if len(looks) == 1:  # as most cars are seen: nothing to be weighed
        car.splits, car.reports = dict(looks[0].splits), looks[0].reports
        return
    disagreements = []
    for split in dict.fromkeys(split for look in looks for split in look.splits):
        values = [
            _Look(Answered(value, one.place, one.day), value, one.place.file)
            for one in looks
            if (value := one.splits.get(split)) is not None
        ]
        latest, contrary = _latest(split, values, lambda one, other: one != other)
        disagreements += [contrary] if contrary else []
        if len(latest) == 1:
            car.splits[split] = latest[0]
    by_mark: defaultdict[str, list[_Look[Report]]] = defaultdict(list)
    for one in looks:
        for report in one.reports:
            told = _Look(Answered(report.answer, report.place, one.day), report, one.place.file)
            by_mark[report.mark].append(told)
    reports = []
    for mark, told_of in by_mark.items():
        found, contrary = _latest(mark, told_of, Report.is_contrary_to)
        disagreements += [contrary] if contrary else []
        reports.append(_either(found))
    car.reports, car.disagreements = tuple(reports), tuple(disagreements)


class _Look(NamedTuple, Generic[T]):
    """What one person said of a part, or of the whole car, in one look."""

    answered: Answered
    said: T
    file: str


def _latest(
    mark: str, looks: Sequence[_Look[T]], is_contrary: Callable[[T, T], bool]
) -> tuple[list[T], Disagreement | None]:
    """Return what counts of the looks at one part, in order of day: one, or several that are contrary and of one day;
    and how the people disagree, each by all that he says of his own latest day, None where they do not."""
    telling = [one for one in looks if one.answered.answer != "cannot-tell"]
    if not telling:
        return [looks[-1].said], None
    if len(telling) == 1:
        return [telling[0].said], None
    last_of = {one.file: one.answered.day for one in telling}
    each = [one for one in telling if one.answered.day == last_of[one.file]]
    pairs = [(one, other) for one, other in combinations(each, 2) if is_contrary(one.said, other.said)]
    last = each[-1].answered.day
    tied = [pair for pair in pairs if pair[0].answered.day == pair[1].answered.day == last]
    against = [one for one in each if any(one in pair for pair in pairs)]
    told = Disagreement(mark, tuple(one.answered for one in against), bool(tied)) if pairs else None
    counts = [one.said for one in each if any(one in pair for pair in tied)]
    return counts or [each[-1].said], told


def _either(found: Sequence[Report]) -> Report:
    """Return what counts of a part: its one answer, or, of contrary ones, that it is one or the other."""
    if len(found) == 1:
        return found[0]
    forms = tuple(dict.fromkeys(form for one in found for form in one.forms))
    if not all(one.forms for one in found) or len(forms) < 2:
        return replace(found[-1], forms=(), kind="cannot-tell", own=None)
    return replace(found[-1], forms=forms, kind="several", own=None)
