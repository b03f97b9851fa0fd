"""What to go and look at: the cars that would narrow a mark's limits most, whichever form they turn out to have.

Theory
------
Between a form and the next, an untouched car built at time t with the new form puts the new form's first not
after t; one with the old form puts the old form's last not before t. Which it will be nobody knows beforehand,
so a car is worth what it narrows for certain: the smaller of

    latest of the next form's first - latest day of the car,    earliest day of the car - earliest of the last.

The first falls and the second rises along the numbers; the best car is where they cross, and every car worth
at least `helpful_share` of the best is as good as any. Where no car narrows anything by `helpful_days`, a
paper that names the last car would do: the widest last that nothing states.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from guide.constants import COMMON, CONSTANTS, Constant, value_of
from guide.facts.types import FormRef, Mark, Scope
from guide.limits.positions import SeriesLine
from guide.limits.says import Sayer, form_words, scope_words
from guide.limits.types import DatedSpell, Helpful, day_of

__all__ = ["most_helpful"]

CONSTANTS["helpful_days"] = Constant(
    7, "days", "a car is named as worth looking for when it would narrow limits by at least so much", COMMON)
CONSTANTS["helpful_share"] = Constant(
    0.75, "share", "cars that narrow limits by at least this share of the best are named with it", COMMON)


@dataclass(frozen=True, slots=True)
class _Gap:
    """A changeover in one scope: the old form's last from ``low`` on, the new one's first up to ``high``."""

    old: DatedSpell
    new: DatedSpell
    low: date
    high: date


def most_helpful(sayer: Sayer, spells: tuple[DatedSpell, ...]) -> dict[str, Helpful]:
    """Return for each mark the cars, or else the fact, that would narrow its limits most."""
    found = {}
    for mark in sayer.guide.marks.values():
        mine = [spell for spell in spells if spell.mark == mark.id]
        best = _best_cars(sayer, mark, mine) or _best_fact(sayer, mark, mine)
        if best is not None:
            found[mark.id] = best
    return found


def _gaps(sayer: Sayer, mark: Mark, spells: list[DatedSpell]) -> Iterator[_Gap]:
    """Yield the changeovers of a mark's declared order, scope by scope."""
    first = sayer.guide.production.first
    for scope in dict.fromkeys(spell.scope for spell in spells):
        here = {(spell.form, spell.spell): spell for spell in spells if spell.scope == scope}
        chain = [here[ref.form, ref.spell] for ref in mark.order if (ref.form, ref.spell) in here]
        for old, new in pairwise(chain):
            yield _Gap(old, new, day_of(old.last.earliest, first), day_of(new.first.latest, first))


def _worth(line: SeriesLine, position: int, gap: _Gap) -> int:
    """Return by how many days a car would narrow a changeover for certain; below nought for none."""
    earliest, latest = line.days_at(position)
    return min((gap.high - latest).days, (earliest - gap.low).days)


def _best_cars(sayer: Sayer, mark: Mark, spells: list[DatedSpell]) -> Helpful | None:
    overrides = sayer.guide.overrides
    least = value_of("helpful_days", overrides)
    best: tuple[int, _Gap, SeriesLine, int] | None = None
    for gap in _gaps(sayer, mark, spells):
        for series in gap.old.scope.values("series") or mark.scope.values("series") or tuple(sayer.builder.lines):
            line = sayer.builder.lines.get(series)
            if line is None or gap.high <= gap.low:
                continue
            low, high = _positions(line, gap)
            for position in range(low, high + 1):
                worth = _worth(line, position, gap)
                if worth >= least and (best is None or worth > best[0]):
                    best = (worth, gap, line, position)
    return None if best is None else _name_cars(sayer, mark, *best)


def _positions(line: SeriesLine, gap: _Gap) -> tuple[int, int]:
    """Return the first and last position that can have been built between the ends of a gap."""
    low = max(0, int(line.cars_by(gap.low - timedelta(days=1))) - 1)
    return low, min(line.cars - 1, int(line.cars_by(gap.high)))


def _name_cars(sayer: Sayer, mark: Mark, worth: int, gap: _Gap, line: SeriesLine, position: int) -> Helpful:
    words, enough = sayer.words, worth * value_of("helpful_share", sayer.guide.overrides)
    low = high = position
    while low > 0 and low - 1 not in line.strays and _worth(line, low - 1, gap) >= enough:
        low -= 1
    while high + 1 < line.cars and high + 1 not in line.strays and _worth(line, high + 1, gap) >= enough:
        high += 1
    first, last = line.car_at(low), line.car_at(high)
    others = Scope(tuple(part for part in gap.new.scope.parts if part[0] != "series"))
    cars = scope_words(words, sayer.guide, others)
    says = words.say(
        "limits.helpful.cars-for" if cars else "limits.helpful.cars", first=first.written, last=last.written,
        cars=cars, length=words.duration(worth),
    ) if low < high else words.say("limits.helpful.car", car=first.written, length=words.duration(worth))
    return Helpful(mark=mark.id, form=gap.new.form, scope=gap.new.scope, first=first, last=last,
                   narrows_days=worth, says=says)


def _best_fact(sayer: Sayer, mark: Mark, spells: list[DatedSpell]) -> Helpful | None:
    """Return the widest last that no statement closes, where another form follows it."""
    first = sayer.guide.production.first
    followed = {(ref.form, ref.spell) for ref in mark.order[:-1]}
    loose = [spell for spell in spells if not spell.last_is_stated and (spell.form, spell.spell) in followed]
    widths = [(day_of(spell.last.latest, first) - day_of(spell.last.earliest, first)).days for spell in loose]
    if not widths or max(widths) < value_of("helpful_days", sayer.guide.overrides):
        return None
    spell, width = loose[widths.index(max(widths))], max(widths)
    words = sayer.words
    cars = scope_words(words, sayer.guide, spell.scope)
    form = form_words(words, sayer.guide, FormRef(spell.mark, spell.form, spell.spell), mark.id)
    says = words.say("limits.helpful.paper-for" if cars else "limits.helpful.paper", form=form, cars=cars)
    return Helpful(mark=mark.id, form=spell.form, scope=spell.scope, first=None, last=None, narrows_days=width,
                   says=says)


