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

*The chain with the fewest statements* behind a refused tie: ties that carry a label of their own cost one
statement each, rules cost none. One layer of Dijkstra per statement; whatever is not strictly shorter than
what fewer statements reach is dropped, and so is whatever is too long to close a negative cycle. A statement
passed twice in a row, in and out by one point, is counted once; one passed twice with others in between would
be counted twice, which a network of spells and cars does not bring about.

*Equals*: of ways equally long the one that is told in fewest words wins (ties with a ``why`` weigh most, those
that go without saying little), then the one whose last tie was inserted first. So what is said depends on what
is stated and on its order alone, never on the potential, which is only a guess made good.

To that end a way is measured in ticks with what telling it costs as a fraction, in one whole number: ticks *
2**`TELLING_BITS` + cost.

Invariants: ``potential`` meets every tie held; ``out[p]`` and ``into[p]`` hold ``(other end, weight, index,
weight with the cost of telling)`` in order of insertion.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from typing import Any, NamedTuple

__all__ = ["RULE", "Chain", "Network", "Shortest", "Tie"]

RULE = -1


class Tie(NamedTuple):
    """``x[head] - x[tail] <= weight`` in ticks; ``why`` is whatever explains it, ``label`` whose it is."""

    tail: int
    head: int
    weight: int
    why: Any = None
    label: int = RULE


class Chain(NamedTuple):
    """Ties of a cycle that adds up to less than nought; the first is one of the refused statement's own."""

    ties: tuple[Tie, ...]

    @property
    def ticks(self) -> int:
        """What the cycle adds up to: below nought."""
        return sum(tie.weight for tie in self.ties)

    def labels(self) -> tuple[int, ...]:
        """Whose ties they are, rules left out, each once, in order of the cycle."""
        return tuple(dict.fromkeys(tie.label for tie in self.ties if tie.label != RULE))


class Shortest(NamedTuple):
    """Shortest ways from (or to) one point: in ticks, and the index of the tie next to the far end.

    ``distance[p]`` is None where no way leads; ``via[p]`` is -1 there and at the point itself.
    """

    distance: list[int | None]
    via: list[int]


Arc = tuple[int, int, int, int]  # other end, weight, index of the tie, weight with the cost of telling
_FAR = 1000  # points: where more have to come down, it is worth looking whether they can
_NEAR = 3000  # points: how far is looked first
TOLD, UNTOLD = 64, 1  # what telling a tie costs, where it has a why and where it has none
TELLING_BITS = 24  # room for ways of a quarter of a million ties that are told


class Network:
    """Ties that can all be met, with a potential that meets them."""

    def __init__(self) -> None:
        self.potential: list[int] = []
        self.ties: list[Tie] = []
        self.out: list[list[Arc]] = []
        self.into: list[list[Arc]] = []
        self._of_label: defaultdict[int, list[int]] = defaultdict(list)

    def copy(self) -> Network:
        """Return a network with the same points and ties, free to change by itself."""
        other = Network()
        other.potential = self.potential.copy()
        other.ties = self.ties.copy()
        other.out = [arcs.copy() for arcs in self.out]
        other.into = [arcs.copy() for arcs in self.into]
        other._of_label = defaultdict(list, {label: list(held) for label, held in self._of_label.items()})
        return other

    def add_point(self, guess: int = 0) -> int:
        """Add a point and return it. A good guess of its time, in ticks, saves work, no more."""
        self.potential.append(guess)
        self.out.append([])
        self.into.append([])
        return len(self.potential) - 1

    def insert(self, ties: Sequence[Tie]) -> bool:
        """Insert all of a statement's ties, or none when they cannot be met; tell which."""
        for count, tie in enumerate(ties):
            if not self._make_room(tie):
                self._drop(count)
                return False
            self._hold(tie)
        return True

    def _hold(self, tie: Tie) -> None:
        index = len(self.ties)
        self.ties.append(tie)
        telling = _with_telling(tie)
        self.out[tie.tail].append((tie.head, tie.weight, index, telling))
        self.into[tie.head].append((tie.tail, tie.weight, index, telling))
        if tie.label != RULE:
            self._of_label[tie.label].append(index)

    def _drop(self, count: int) -> None:
        """Take out the ties inserted last; the potential meets the rest as it stands."""
        for _ in range(count):
            tie = self.ties.pop()
            self.out[tie.tail].pop()
            self.into[tie.head].pop()
            if tie.label != RULE:
                self._of_label[tie.label].pop()

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
        potential, out = self.potential, self.out
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
            for other, weight, _, _ in out[point]:
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
        potential, room = self.potential, self._room(tie)
        behind, _ = self._behind(tie.tail, room, rules_only=False)
        known, settled, heap = {tie.head: 0}, set[int](), [(0, tie.head)]
        while heap and len(settled) < _NEAR:
            length, point = heappop(heap)
            if length + behind.get(point, room) < room:
                return True
            if point in settled:
                continue
            settled.add(point)
            length += potential[point] << TELLING_BITS
            for other, _, _, telling in self.out[point]:
                longer = length + telling - (potential[other] << TELLING_BITS)
                if longer < known.get(other, room):
                    known[other] = longer
                    heappush(heap, (longer, other))
        return False

    def _room(self, tie: Tie) -> int:
        """Return by how much the potential breaks a tie: less than that, a reduced way back closes a negative cycle."""
        return (self.potential[tie.head] - self.potential[tie.tail] - tie.weight) << TELLING_BITS

    def _behind(self, goal: int, room: int, *, rules_only: bool) -> tuple[dict[int, int], int]:
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
            for other, _, index, telling in self.into[point]:
                longer = length + telling + (potential[other] << TELLING_BITS)
                if longer < known.get(other, room) and not (rules_only and self.ties[index].label != RULE):
                    known[other] = longer
                    heappush(heap, (longer, other))
        return found, room

    def latest_from(self, origin: int) -> Shortest:
        """Return the latest that every point can be, in ticks after ``origin``."""
        return self._shortest(origin, self.out, 1)

    def earliest_from(self, origin: int) -> Shortest:
        """Return minus the earliest that every point can be, in ticks after ``origin``."""
        return self._shortest(origin, self.into, -1)

    def _shortest(self, origin: int, arcs: list[list[Arc]], sign: int) -> Shortest:
        potential = [sign * level << TELLING_BITS for level in self.potential]
        reduced: list[int | None] = [None] * len(potential)
        via = [-1] * len(potential)
        settled = bytearray(len(potential))
        reduced[origin] = 0
        heap = [(0, origin)]
        while heap:
            length, point = heappop(heap)
            if settled[point]:
                continue
            settled[point] = 1
            length += potential[point]
            for other, _, index, telling in arcs[point]:
                if settled[other]:
                    continue
                longer = length + telling - potential[other]
                known = reduced[other]
                if known is None or longer < known:
                    reduced[other] = longer
                    via[other] = index
                    heappush(heap, (longer, other))
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

    def shortest_chain(
        self, own: Sequence[Tie], hidden: frozenset[int] = frozenset(), rules: Network | None = None
    ) -> Chain | None:
        """Return the negative cycle through a statement's own ties that needs the fewest others.

        ``hidden`` are labels to leave out; ``rules`` is a network of all the rules that are held and nothing else,
        which saves work. None when the statement can stand with all that is held. Between chains of equally few the
        one that falls short by most wins, then the one whose own tie comes first.
        """
        chains = [self._close(tie, hidden, rules) for tie in own]
        found = [chain for chain in chains if chain is not None]
        if not found or min(_others(chain) for chain in found) > 1:
            joint = self._shortest_joint_chain(own, hidden)
            found += [joint] if joint is not None else []
        return min(found, key=lambda chain: (_others(chain), chain.ticks), default=None)

    def _shortest_joint_chain(self, own: Sequence[Tie], hidden: frozenset[int]) -> Chain | None:
        """Return the best cycle through several own ties at once, holding those that can be met."""
        held = 0
        found: Chain | None = None
        for tie in own:
            chain = self._close(tie, hidden)
            if chain is not None:
                found = chain if found is None or _others(chain) < _others(found) else found
            elif self._make_room(tie):
                self._hold(tie)
                held += 1
        self._drop(held)
        return found

    def _close(self, tie: Tie, hidden: frozenset[int], rules: Network | None = None) -> Chain | None:
        """Return the cycle that closes one tie with the fewest labels, its own label costing nothing."""
        room = self._room(tie)
        if room <= 0:
            return None
        search = _Search(self, tie, room, hidden)
        if rules is not None and not self._of_label.get(tie.label) and rules.allows(tie):
            search.end_in_rules()
        way = search.run() or (_Search(self, tie, room, hidden).run() if search.behind else None)
        return None if way is None else Chain((tie, *(self.ties[index] for index in way)))


def _with_telling(tie: Tie) -> int:
    """Return a tie's weight with the cost of telling it as a fraction."""
    return (tie.weight << TELLING_BITS) + (UNTOLD if tie.why is None else TOLD)


_Stop = tuple[int, int, int, int]
"""A place a search has come to: reduced length, point, index of the last tie, place in the trail."""


class _Search:
    """Layers of Dijkstra, one per statement, from a tie's head back to its tail."""

    def __init__(self, network: Network, tie: Tie, room: int, hidden: frozenset[int]) -> None:
        self.network, self.hidden = network, hidden
        self.start, self.goal, self.own = tie.head, tie.tail, tie.label
        self.potential = [level << TELLING_BITS for level in network.potential]
        self.room = room
        self.behind: dict[int, int] = {}
        self.beyond = 0
        self.best: dict[int, int] = {}  # reduced length, with no more statements than now
        self.trail: list[tuple[int, int]] = [(-1, -1)]  # (index of the tie, place in the trail before it)
        self.heap: list[_Stop] = [(0, self.start, -1, 0)]
        self.after: list[_Stop] = []  # for the layer with one statement more
        self.crossed = False  # whether a statement lies behind

    def end_in_rules(self) -> None:
        """Look for ways of one statement alone, none of rules alone being there: beyond the statement are rules.

        A way found so is as short as any, and of those equally short the very one that would be found else.
        """
        self.behind, self.beyond = self.network._behind(self.goal, self.room, rules_only=True)

    def run(self) -> list[int] | None:
        """Return the indices of the ties of the way, from the head on; None when there is none."""
        while self.heap:
            found = self._layer()
            if found is not None:
                return self._way(found)
            if self.crossed and self.behind:
                return None
            self.heap, self.after, self.crossed = self.after, [], True
            heapify(self.heap)
        return None

    def _layer(self) -> int | None:
        potential, labels, best = self.potential, self.network.ties, self.best
        behind, beyond = (self.behind, self.beyond) if self.crossed else ({}, 0)
        while self.heap:
            length, point, _, trail = heappop(self.heap)
            if length >= best.get(point, self.room):
                continue
            best[point] = length
            if point == self.goal:
                return trail
            base = length + potential[point]
            for other, _, index, telling in self.network.out[point]:
                longer = base + telling - potential[other]
                if longer >= best.get(other, self.room) or longer + behind.get(other, beyond) >= self.room:
                    continue
                label = labels[index].label
                if label in self.hidden:
                    continue
                self.trail.append((index, trail))
                stop = (longer, other, index, len(self.trail) - 1)
                if label in (RULE, self.own):
                    heappush(self.heap, stop)
                else:
                    self._cross(stop, label)
        return None

    def _cross(self, stop: _Stop, label: int) -> None:
        """Note a point for the next layer, with whatever the same statement leads to straight from there."""
        self._note(stop)
        waiting = [(stop, frozenset((stop[1],)))]
        while waiting:
            (length, point, _, trail), seen = waiting.pop()
            for index in self.network._of_label[label]:
                tie = self.network.ties[index]
                if tie.tail != point or tie.head in seen:
                    continue
                longer = length + _with_telling(tie) + self.potential[point] - self.potential[tie.head]
                if longer < self.best.get(tie.head, self.room):
                    self.trail.append((index, trail))
                    stop = (longer, tie.head, index, len(self.trail) - 1)
                    self._note(stop)
                    waiting.append((stop, seen | {tie.head}))

    def _note(self, stop: _Stop) -> None:
        self.after.append(stop)
        if stop[1] in self.behind:  # no way that is longer than this one is looked for any more
            self.room = min(self.room, stop[0] + self.behind[stop[1]] + 1)

    def _way(self, trail: int) -> list[int]:
        way = []
        while self.trail[trail][0] >= 0:
            index, trail = self.trail[trail]
            way.append(index)
        return way[::-1]


def _others(chain: Chain) -> int:
    """Return how many statements a chain needs besides the one it begins with."""
    return len(set(chain.labels()) - {chain.ties[0].label})
