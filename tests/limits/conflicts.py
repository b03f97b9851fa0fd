"""Every smallest set of statements that cannot all stand, by enumeration: an oracle for planted clashes.

Nothing of the program's solving is used, neither potential nor insertion nor search for chains: only the ties
that statements and rules stand for. Whether ties can all be met is told by Bellman's and Ford's method, by scipy
where time allows, otherwise by a queue (`settle`) that starts where the rules alone are met. A *conflict* is
a set of statements that cannot all stand beside the rules although each of its parts can. All conflicts are found
by the tree of hitting sets (Reiter, A theory of diagnosis from first principles, Artificial Intelligence 32,
1987): below a conflict each of its statements is left out in turn, until what is left can stand.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence

import numpy
from scipy.sparse import csr_array
from scipy.sparse.csgraph import NegativeCycleError, bellman_ford

from guide.limits.network import Tie
from guide.limits.solve import TemporalProblem

Conflict = frozenset[int]  # the labels of claims


class Conflicts:
    """The conflicts among the claims of a problem whose rules can be met."""

    def __init__(self, problem: TemporalProblem) -> None:
        self.points = len(problem.builder.network.potential)
        self.rules = list(problem.builder.network.ties)
        self.ties = {claim.label: claim.ties for claim in problem.claims}
        self.met_by_rules = latest_times(self.points, self.rules)
        self.out: list[list[Tie]] = [[] for _ in range(self.points)]
        for tie in self.rules:
            self.out[tie.tail].append(tie)
        self._stands: dict[frozenset[int], bool] = {}

    def can_stand(self, labels: Iterable[int]) -> bool:
        """Tell whether claims can all stand beside the rules."""
        chosen = frozenset(labels)
        if chosen not in self._stands:
            held = [tie for label in sorted(chosen) for tie in self.ties[label]]
            self._stands[chosen] = settle(self.met_by_rules, self.out, held)
        return self._stands[chosen]

    def can_stand_by_scipy(self, labels: Iterable[int]) -> bool:
        """Tell the same with scipy, more slowly."""
        return can_be_met(self.points, self.rules + [tie for label in labels for tie in self.ties[label]])

    def is_one(self, labels: Conflict) -> bool:
        """Tell whether claims are a conflict: together they cannot stand, and each of their parts can."""
        return not self.can_stand(labels) and all(self.can_stand(labels - {label}) for label in labels)

    def all(self, known: Conflict, near: Sequence[int], at_most: int) -> tuple[list[Conflict], bool]:
        """Return conflicts from one that is known on, smallest first, and whether they are all there are.

        Those among ``near`` are come upon first. The search ends when more than so many are found.
        """
        assert self.is_one(known)
        found = [known]
        done: set[frozenset[int]] = set()
        waiting: deque[frozenset[int]] = deque([frozenset()])
        while waiting and len(found) <= at_most:
            left_out = waiting.popleft()
            if left_out in done:
                continue
            done.add(left_out)
            conflict = next((one for one in found if not one & left_out), None)
            if conflict is None and not self.can_stand(self.ties.keys() - left_out):
                conflict = self._one(left_out, near)
                found.append(conflict)
            if conflict is not None:
                waiting += [left_out | {label} for label in sorted(conflict)]
        return sorted(found, key=lambda one: (len(one), sorted(one))), not waiting

    def _one(self, left_out: frozenset[int], near: Sequence[int]) -> Conflict:
        """Return a conflict among the claims that are not left out, which cannot all stand."""
        held = [label for label in near if label not in left_out]
        far = [label for label in self.ties if label not in left_out and label not in held]
        return frozenset(self._needed([], far + held, checked=False))

    def _needed(self, held: list[int], claims: list[int], *, checked: bool) -> list[int]:
        """Return the claims without which those held could stand, by halves (Junker, QuickXplain, AAAI 2004)."""
        if checked and not self.can_stand(held):
            return []
        if len(claims) == 1:
            return claims
        half = len(claims) // 2
        early, late = claims[:half], claims[half:]
        of_early = self._needed(held + late, early, checked=bool(late))
        of_late = self._needed(held + of_early, late, checked=bool(of_early))
        return of_early + of_late


def settle(levels: Sequence[int], rules: Sequence[Sequence[Tie]], ties: Sequence[Tie]) -> bool:
    """Tell whether ties can all be met beside rules that the levels meet, by lowering what is too high.

    ``rules`` are those that leave each point. The work ends when nothing is too high, or when points have lowered
    one another in a circle (Moore, The shortest path through a maze, 1959, with a look round for circles).
    """
    level, because = list(levels), [-1] * len(levels)
    more: dict[int, list[Tie]] = {}
    for tie in ties:
        if tie.tail == tie.head and tie.weight < 0:
            return False
        more.setdefault(tie.tail, []).append(tie)
    waiting, lowered = deque(sorted(more)), 0
    while waiting:
        point = waiting.popleft()
        for tie in (*rules[point], *more.get(point, ())):
            if level[point] + tie.weight < level[tie.head]:
                level[tie.head], because[tie.head] = level[point] + tie.weight, point
                waiting.append(tie.head)
                lowered += 1
                if lowered % 400 == 0 and _has_circle(because):
                    return False
    return True


def _has_circle(because: Sequence[int]) -> bool:
    """Tell whether following each point to the one that lowered it leads round in a circle."""
    seen = [-1] * len(because)
    for start in range(len(because)):
        point = start
        while point >= 0 and seen[point] < 0:
            seen[point] = start
            point = because[point]
        if point >= 0 and seen[point] == start:
            return True
    return False


def latest_times(points: int, ties: Sequence[Tie]) -> list[int]:
    """Return the latest that ties allow every point after the first, which all of them hang from, by scipy."""
    return [int(level) for level in bellman_ford(_graph(points, ties), indices=0)[:points]]


def can_be_met(points: int, ties: Sequence[Tie]) -> bool:
    """Tell whether ties can all be met: whether no cycle of them adds up to less than nought."""
    if any(tie.tail == tie.head and tie.weight < 0 for tie in ties):
        return False
    try:
        bellman_ford(_graph(points, ties), indices=points)
    except NegativeCycleError:
        return False
    return True


def _graph(points: int, ties: Sequence[Tie]) -> csr_array:
    """Return ties as a graph of scipy, with one more point that leads to every other at no cost."""
    weights: dict[tuple[int, int], int] = {(points, point): 0 for point in range(points)}
    for tie in ties:
        if tie.tail != tie.head:
            key = tie.tail, tie.head
            weights[key] = min(tie.weight, weights.get(key, tie.weight))
    data = numpy.array(list(weights.values()), dtype=float)  # ticks stay under 2**53
    return csr_array((data, tuple(zip(*weights, strict=True))), shape=(points + 1, points + 1))
