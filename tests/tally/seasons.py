"""Invented seasons of cars, to try whether the tally's intervals hold what they say: `python -m tests.tally.seasons`.

A season draws what is true (where a form changed, how many cars were built, how many still have their own) and then the
cars that people happen to see, with every error that the estimate allows for: numbers out of their order, parts misread
or swapped, numbers wrong.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable

from guide.tally.how_many import in_sight, numbers_built
from guide.tally.single_change import Belief, Sighted
from guide.tally.survival import Judged, share_own

__all__ = ["TRIALS", "holds_a_change", "share_held"]

CARS = 3000
DISORDER = 20


def small_season(numbers: range = range(5, 1200, 10)) -> str:
    """Return a sheet of cars over the starter's guide: knobs from S646 on, square lamps from S590, every tenth car; one
    of them out of place."""
    lines = ["car,seen on,untouched,source,roof-lamp,door-handle"]
    for number in numbers:
        lamp, handle = ("square" if number >= 590 else "round"), ("knob" if number >= 646 else "lever")
        lines.append(f"S{number:03},2026-06-14,yes,register,{lamp},{handle}")
    lines.append("S1101,2026-06-14,no,register,round,")
    return "\n".join(lines) + "\n"


def holds_a_change(chance: random.Random) -> bool:
    """Draw one changeover and a season of 25 to 150 cars; tell whether the interval holds the change."""
    change = chance.randint(0, CARS)
    early, late = chance.choice([(0.015, 0.015), (0.12, 0.12), (0.2, 0.03)])
    seen = []
    for _ in range(chance.randint(25, 150)):
        number = chance.randrange(CARS)
        low, high = max(0, number - DISORDER), min(CARS - 1, number + DISORDER)
        built_new = chance.randint(low, high) >= change
        wrong = chance.random() < (late if built_new else early)
        seen.append(Sighted(low, high, built_new is not wrong, early, late))
    best = Belief(seen, 0, CARS - 1).best
    return best is None or best.low <= change <= best.high


def holds_a_share(chance: random.Random) -> bool:
    """Draw how many cars still have a part of two forms, and a season of 15 to 120 cars; renewed parts are of either
    form alike, noticed as such as often as is drawn too, and parts are misread."""
    share, noticed, misread = chance.random(), chance.random(), 0.02
    looks = []
    for _ in range(chance.randint(15, 120)):
        has_own, built_new = chance.random() < share, chance.random() < 0.5
        if not has_own and chance.random() < noticed:
            looks.append(Judged(False, 1.0, 1.0))
            continue
        has_new = built_new if has_own else chance.random() < 0.5
        read_new = has_new is not (chance.random() < misread)
        looks.append(Judged(None, 1 - misread if read_new is built_new else misread, 0.5))
    found = share_own(looks)
    return found.low - 0.005 <= share <= found.high + 0.005


def holds_what_was_built(chance: random.Random) -> bool:
    """Draw how many cars were built, and 5 to 80 of their numbers."""
    built, seen = chance.randint(200, 4000), chance.randint(5, 80)
    found = numbers_built(seen, max(chance.sample(range(1, built + 1), seen)))
    return found.low <= built <= found.high


def holds_what_is_in_sight(chance: random.Random) -> bool:
    """Draw how many cars there are, and which of them two to six people meet."""
    there = chance.randint(60, 300)
    shares = [chance.uniform(0.1, 0.35) for _ in range(chance.randint(2, 6))]
    met = [{car for car in range(there) if chance.random() < share} for share in shares]
    found = in_sight([len(one) for one in met], len(set().union(*met)))
    return found is None or (found.low <= there and (found.high is None or there <= found.high))


TRIALS: dict[str, Callable[[random.Random], bool]] = {
    "a changeover": holds_a_change,
    "how many have their own part": holds_a_share,
    "how many were built": holds_what_was_built,
    "how many are in sight": holds_what_is_in_sight,
}


def share_held(trial: Callable[[random.Random], bool], seasons: int, seed: int) -> float:
    """Return the share of seasons in which the interval holds what is true."""
    chance = random.Random(seed)
    return sum(trial(chance) for _ in range(seasons)) / seasons


if __name__ == "__main__":
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    for name, trial in TRIALS.items():
        print(
            f"the 95 % interval of {name} held the truth in {100 * share_held(trial, many, 1):.1f} % of {many} seasons"
        )
