"""Why a statement cannot stand: the negative cycle through its ties that needs the fewest other statements.

Theory
------
Ties that carry a label of their own cost one statement each, rules cost none. One layer of Dijkstra per statement;
whatever is not strictly shorter than what fewer statements reach is dropped, and so is whatever is too long to close a
negative cycle. A statement passed twice in a row, in and out by one point, is counted once; one passed twice with
others in between would be counted twice, which a network of spells and cars does not bring about.

Where all rules are known and the statement has met them, ways of one other statement alone are looked for first, and
only as far as rules can lead on from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from typing import NamedTuple

from guide.limits.network import RULE, TELLING_BITS, Network, Tie

__all__ = ["Chain", "shortest_chain"]


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


def shortest_chain(
    network: Network, own: Sequence[Tie], hidden: frozenset[int] = frozenset(), rules: Network | None = None
) -> Chain | None:
    """Return the negative cycle through a statement's own ties that needs the fewest others.

    ``hidden`` are labels to leave out; ``rules`` is a network of all the rules that are held and nothing else,
    which saves work. None when the statement can stand with all that is held. Between chains of equally few the
    one that falls short by most wins, then the one whose own tie comes first.
    """
    chains = [_close(network, tie, hidden, rules) for tie in own]
    found = [chain for chain in chains if chain is not None]
    if not found or min(_others(chain) for chain in found) > 1:
        joint = _shortest_joint_chain(network, own, hidden)
        found += [joint] if joint is not None else []
    return min(found, key=lambda chain: (_others(chain), chain.ticks), default=None)


def _shortest_joint_chain(network: Network, own: Sequence[Tie], hidden: frozenset[int]) -> Chain | None:
    """Return the best cycle through several own ties at once, holding those that can be met."""
    held = 0
    found: Chain | None = None
    for tie in own:
        chain = _close(network, tie, hidden)
        if chain is not None:
            found = chain if found is None or _others(chain) < _others(found) else found
        elif network.insert((tie,)):
            held += 1
    network.drop(held)
    return found


def _close(network: Network, tie: Tie, hidden: frozenset[int], rules: Network | None = None) -> Chain | None:
    """Return the cycle that closes one tie with the fewest labels, its own label costing nothing."""
    room = network.room(tie)
    if room <= 0:
        return None
    search = _Search(network, tie, room, hidden)
    if rules is not None and not network.of_label.get(tie.label) and rules.allows(tie):
        search.end_in_rules()
    way = search.run() or (_Search(network, tie, room, hidden).run() if search.behind else None)
    return None if way is None else Chain((tie, *(network.ties[index] for index in way)))


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
        self.behind, self.beyond = self.network.behind(self.goal, self.room, rules_only=True)

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
        potential, network, best = self.potential, self.network, self.best
        behind, beyond = (self.behind, self.beyond) if self.crossed else ({}, 0)
        while self.heap:
            length, point, _, trail = heappop(self.heap)
            if length >= best.get(point, self.room):
                continue
            best[point] = length
            if point == self.goal:
                return trail
            base = length + potential[point]
            for index in network.out[point]:
                other = network.heads[index]
                longer = base + network.tellings[index] - potential[other]
                if longer >= best.get(other, self.room) or longer + behind.get(other, beyond) >= self.room:
                    continue
                label = network.ties[index].label
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
            for index in self.network.of_label[label]:
                tie = self.network.ties[index]
                if tie.tail != point or tie.head in seen:
                    continue
                longer = length + self.network.tellings[index] + self.potential[point] - self.potential[tie.head]
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
