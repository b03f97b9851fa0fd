"""What would help is looked for by lines of the calendar: it is the car that looking at every car finds."""

from __future__ import annotations

from typing import Any

from guide.limits.helpful import _alike, _candidates, _followed, _positions, _wanted


def test_the_best_car_of_all_is_among_those_looked_at(limits: Any) -> None:
    looked_at = 0
    for mark in limits.moments.guide.marks.values():
        spells = [spell for spell in limits.spells if spell.mark == mark.id]
        for wanted in _wanted(limits.moments, list(_followed(mark, spells))):
            for line in limits.lines.values():
                worths = {position: wanted.worth(line, position) for position in _positions(line, wanted)}
                most = max(worths.values(), default=0.0)
                found = {at: worths[at] for at in _candidates(line, _alike(line), wanted)}
                looked_at += len(found)
                if most > 0.0:
                    best = max(found, key=lambda at: (found[at], -at))
                    assert (found[best], best) == (most, next(at for at, worth in worths.items() if worth == most))
    assert looked_at > 500
