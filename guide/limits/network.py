"""A simple temporal network: points in time, ties between them, and what all ties together allow.

Theory
------
A tie ``(tail, head, weight)`` says ``x[head] - x[tail] <= weight``, in ticks. Ties can all be met exactly
when no cycle of them adds up to less than nought (Dechter, Meiri & Pearl, Temporal constraint networks,
Artificial Intelligence 49, 1991). ``potential`` is one solution; with it every tie has a *reduced* weight

    weight + potential[tail] - potential[head] >= 0

so Dijkstra's method works although weights may be negative (Johnson 1977).

*Inserting* a tie that the potential breaks: lower ``potential[head]`` and whatever that pushes down in turn,
furthest first; if its own tail would have to come down, the tie closes a negative cycle (Cotton & Maler,
Fast and flexible difference constraint propagation for DPLL(T), SAT 2006). The work stays near the tie.

*All limits*: the latest of a point is the shortest way from the origin to it, the earliest is minus the
shortest way from it to the origin: two runs of Dijkstra, each keeping the tie by which a point was reached.

*Equals*: of ways equally long the one that is told in fewest words wins (ties with a ``why`` weigh most, those
that go without saying little), then the one whose last tie was inserted first. So what is said depends on what
is stated and on its order alone, never on the potential, which is only a guess made good.

To that end a way is measured in ticks with what telling it costs as a fraction, in one whole number: ticks *
2**`TELLING_BITS` + cost.

Invariants: ``potential`` meets every tie held; ``tails``, ``heads`` and ``tellings`` (the weight with the cost of
telling) run along ``ties``; ``out[p]`` and ``into[p]`` hold the indices of the ties from and to a point, ``of_label``
those of each statement's, in order of insertion.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from heapq import heappop, heappush
from typing import Any, NamedTuple

__all__ = ["RULE", "TELLING_BITS", "Network", "Shortest", "Tie", "with_telling"]

RULE = -1


class Tie(NamedTuple):
    """``x[head] - x[tail] <= weight`` in ticks; ``why`` is whatever explains it, ``label`` whose it is."""

    tail: int
    head: int
    weight: int
    why: Any = None
    label: int = RULE

    def labelled(self, label: int) -> Tie:
        """Return the same tie as somebody's."""
        return Tie(self.tail, self.head, self.weight, self.why, label)


class Shortest(NamedTuple):
    """Shortest ways from (or to) one point: in ticks, and the index of the tie next to the far end.

    ``distance[p]`` is None where no way leads; ``via[p]`` is -1 there and at the point itself.
    """

    distance: list[int | None]
    via: list[int]


_FAR = 1000  # points: where more have to come down, it is worth looking whether they can
_NEAR = 3000  # points: how far is looked first
TOLD, UNTOLD = 64, 1  # what telling a tie costs, where it has a why and where it has none
TELLING_BITS = 24  # room for ways of a quarter of a million ties that are told


class Network:
    """Ties that can all be met, with a potential that meets them."""

    def __init__(self) -> None:
        self.potential: list[int] = []
        self.ties: list[Tie] = []
        self.tails: list[int] = []
        self.heads: list[int] = []
        self.tellings: list[int] = []
        self.out: list[list[int]] = []
        self.into: list[list[int]] = []
        self.of_label: defaultdict[int, list[int]] = defaultdict(list)

    def copy(self) -> Network:
        """Return a network with the same points and ties, free to change by itself."""
        other = Network()
        other.potential = self.potential.copy()
        other.ties = self.ties.copy()
        other.tails, other.heads, other.tellings = self.tails.copy(), self.heads.copy(), self.tellings.copy()
        other.out = [indices.copy() for indices in self.out]
        other.into = [indices.copy() for indices in self.into]
        other.of_label = defaultdict(list, {label: list(held) for label, held in self.of_label.items()})
        return other

    def add_point(self, guess: int = 0) -> int:
        """Add a point and return it. A good guess of its time, in ticks, saves work, no more."""
        self.potential.append(guess)
        self.out.append([])
        self.into.append([])
        return len(self.potential) - 1

    def insert(self, ties: Sequence[Tie]) -> bool:
        """Insert all of a statement's ties, or none when they cannot be met; tell which."""
        potential, held, out, into = self.potential, self.ties, self.out, self.into
        for count, tie in enumerate(ties):
            tail, head, weight, _, label = tie
            if potential[head] > potential[tail] + weight and not self._make_room(tie):
                self.drop(count)
                return False
            index = len(held)
            held.append(tie)
            self.tails.append(tail)
            self.heads.append(head)
            self.tellings.append(with_telling(tie))
            out[tail].append(index)
            into[head].append(index)
            if label != RULE:
                self.of_label[label].append(index)
        return True

    def drop(self, count: int) -> None:
        """Take out the ties inserted last; the potential meets the rest as it stands."""
        for _ in range(count):
            tie = self.ties.pop()
            self.tellings.pop()
            self.out[self.tails.pop()].pop()
            self.into[self.heads.pop()].pop()
            if tie.label != RULE:
                self.of_label[tie.label].pop()

    def _make_room(self, tie: Tie) -> bool:
        """Lower the potential until a tie is met; leave it as it was and return False when that cannot be."""
        lowered = self._lowered(tie)
        for point, level in (lowered or {}).items():
            self.potential[point] = level
        return lowered is not None

    def allows(self, tie: Tie) -> bool:
        """Tell whether a tie can be met with all that is held."""
        return self._lowered(tie) is not None

    def _lowered(self, tie: Tie) -> dict[int, int] | None:
        """Return the potential of the points that have to come down for a tie to be met; None when it cannot be."""
        potential, ties = self.potential, self.ties
        tail, head = tie.tail, tie.head
        drop = potential[tail] + tie.weight - potential[head]
        if drop >= 0:
            return {}
        if tail == head:
            return None
        drops = {head: drop}  # point: how far it must come down at least, below nought
        lowered: dict[int, int] = {}  # point: its potential once settled
        heap = [(drop, head)]
        while heap:
            drop, point = heappop(heap)
            if point in lowered:
                continue
            if len(lowered) == _FAR and self._leads_back(tie):
                return None
            lowered[point] = level = potential[point] + drop
            for index in self.out[point]:
                _, other, weight, _, _ = ties[index]
                drop = level + weight - potential[other]
                if drop < drops.get(other, 0) and other not in lowered:
                    if other == tail:
                        return None
                    drops[other] = drop
                    heappush(heap, (drop, other))
        return lowered

    def _leads_back(self, tie: Tie) -> bool:
        """Tell whether ways from a tie's head and to its tail meet that close a negative cycle with it; False also
        where none is found near by."""
        potential, room = self.potential, self.room(tie)
        behind, _ = self.behind(tie.tail, room, rules_only=False)
        known, settled, heap = {tie.head: 0}, set[int](), [(0, tie.head)]
        while heap and len(settled) < _NEAR:
            length, point = heappop(heap)
            if length + behind.get(point, room) < room:
                return True
            if point in settled:
                continue
            settled.add(point)
            length += potential[point] << TELLING_BITS
            for index in self.out[point]:
                other = self.heads[index]
                longer = length + self.tellings[index] - (potential[other] << TELLING_BITS)
                if longer < known.get(other, room):
                    known[other] = longer
                    heappush(heap, (longer, other))
        return False

    def room(self, tie: Tie) -> int:
        """Return by how much the potential breaks a tie: less than that, a reduced way back closes a negative cycle."""
        return (self.potential[tie.head] - self.potential[tie.tail] - tie.weight) << TELLING_BITS

    def behind(self, goal: int, room: int, *, rules_only: bool) -> tuple[dict[int, int], int]:
        """Return the reduced lengths, below ``room``, of the shortest ways to a point from the points nearest to it,
        and what those from all others come to at least."""
        potential = self.potential
        known, found, heap = {goal: 0}, dict[int, int](), [(0, goal)]
        while heap:
            length, point = heappop(heap)
            if point in found:
                continue
            if len(found) == _NEAR:
                return found, length
            found[point] = length
            length -= potential[point] << TELLING_BITS
            for index in self.into[point]:
                other = self.tails[index]
                longer = length + self.tellings[index] + (potential[other] << TELLING_BITS)
                if longer < known.get(other, room) and not (rules_only and self.ties[index].label != RULE):
                    known[other] = longer
                    heappush(heap, (longer, other))
        return found, room

    def latest_from(self, origin: int) -> Shortest:
        """Return the latest that every point can be, in ticks after ``origin``."""
        return self._shortest(origin, self.out, self.heads, 1)

    def earliest_from(self, origin: int) -> Shortest:
        """Return minus the earliest that every point can be, in ticks after ``origin``."""
        return self._shortest(origin, self.into, self.tails, -1)

    def _shortest(self, origin: int, arcs: list[list[int]], ends: list[int], sign: int) -> Shortest:
        potential = [sign * level << TELLING_BITS for level in self.potential]
        tellings, bits = self.tellings, len(potential).bit_length()
        reduced: list[int | None] = [None] * len(potential)
        via = [-1] * len(potential)
        settled = bytearray(len(potential))
        reduced[origin] = 0
        heap, lowest = [origin], (1 << bits) - 1  # length and point, in one number
        while heap:
            nearest = heappop(heap)
            point = nearest & lowest
            if settled[point]:
                continue
            settled[point] = 1
            length = (nearest >> bits) + potential[point]
            for index in arcs[point]:
                other = ends[index]
                if settled[other]:
                    continue
                longer = length + tellings[index] - potential[other]
                known = reduced[other]
                if known is None or longer < known:
                    reduced[other] = longer
                    via[other] = index
                    heappush(heap, longer << bits | other)
                elif longer == known and index < via[other]:
                    via[other] = index
        base = potential[origin]
        distance = [
            None if length is None else length + level - base >> TELLING_BITS
            for length, level in zip(reduced, potential, strict=True)
        ]
        return Shortest(distance, via)

    def way(self, shortest: Shortest, point: int) -> list[Tie]:
        """Return the ties of the shortest way between its one point and another, the other's own first."""
        ties = []
        while shortest.via[point] >= 0:
            tie = self.ties[shortest.via[point]]
            ties.append(tie)
            point = tie.tail if tie.head == point else tie.head
        return ties


def with_telling(tie: Tie) -> int:
    """Return a tie's weight with the cost of telling it as a fraction."""
    return (tie.weight << TELLING_BITS) + (UNTOLD if tie.why is None else TOLD)
