"""From a guide to what its statements allow: pose the network, insert the most reliable first, run both passes.

Theory
------
Statements are inserted by reliability: the trust of their source, then the editor's declared order. One that
cannot stand with those already in is refused whole, so that putting it back would contradict the rest. Forms
declared to have changed together come after the statements of the same trust, and can be refused in some cars
without being refused in others.

Then each refused statement gets the chain with the fewest statements among those that stand, and so does each
statement that a ruling sets aside or reads otherwise, put back as it was printed while its reading is hidden.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from guide.facts.types import StatementKind, Trust
from guide.finding import Finding
from guide.limits.build import ORIGIN, Builder
from guide.limits.calendar import insert_rules
from guide.limits.chain import Chain, shortest_chain
from guide.limits.claims import Claim, StatedClaim, declared_together, make_claim, trust_of
from guide.limits.moments import Moments
from guide.limits.network import Network, Shortest
from guide.limits.rulings import standing_statements

__all__ = ["Inserted", "Refused", "Ruled", "Solved", "TemporalProblem", "insert_claims", "pose", "solve"]


@dataclass(frozen=True, slots=True)
class TemporalProblem:
    """A guide's network with its rules in and its claims still out.

    ``claims[i].label`` is i; ``printed`` holds the statements that rulings read otherwise or set aside, as
    they were printed, each with the index of its ruling in the mark.
    """

    builder: Builder
    claims: tuple[Claim, ...]
    printed: tuple[tuple[int, StatedClaim], ...]
    findings: tuple[Finding, ...]


class Refused(NamedTuple):
    """A claim that cannot stand, and the chain that shows it."""

    claim: Claim
    chain: Chain


class Ruled(NamedTuple):
    """A statement as it was printed, the index of the ruling on it, and the chain against it where it cannot stand."""

    claim: StatedClaim
    ruling: int
    chain: Chain | None


class Inserted(NamedTuple):
    """A network with what stands, the claims that do and those that do not."""

    network: Network
    standing: tuple[Claim, ...]
    refused: tuple[Refused, ...]


@dataclass(frozen=True, slots=True)
class Solved:
    """What the network allows: the claims that stand, those refused, the shortest ways from and to the origin.

    ``network`` holds the rules and what stands.
    """

    problem: TemporalProblem
    network: Network
    standing: tuple[Claim, ...]
    refused: tuple[Refused, ...]
    ruled: tuple[Ruled, ...]
    latest: Shortest
    earliest: Shortest

    def latest_of(self, point: int) -> int:
        """Return the latest tick of a point."""
        ticks = self.latest.distance[point]
        assert ticks is not None, "a point hangs loose from production"
        return ticks

    def earliest_of(self, point: int) -> int:
        """Return the earliest tick of a point."""
        ticks = self.earliest.distance[point]
        assert ticks is not None, "a point hangs loose from production"
        return -ticks


def pose(moments: Moments) -> TemporalProblem:
    """Return the network of a guide, rules inserted, with every claim as ties."""
    guide, statements = moments.guide, standing_statements(moments.guide)
    builder = Builder(moments, statements)
    claims: list[Claim] = []
    for mark in guide.marks.values():
        for read in statements[mark.id]:
            claims.append(make_claim(builder, mark, read.statement, read.index, len(claims)))
    for index, declared in enumerate(guide.changed_together):
        trust = trust_of(builder, declared.source) if declared.source else Trust.HIGH
        for ties in declared_together(builder, index):
            label = len(claims)
            labelled = tuple(tie.labelled(label) for tie in ties)
            claims.append(Claim(label, "", index, trust, declared.place, labelled))
    printed: list[tuple[int, StatedClaim]] = []
    for mark in guide.marks.values():
        for at, ruling in enumerate(mark.rulings):
            statement, label = mark.statements[ruling.statement], len(claims) + len(printed)
            printed.append((at, make_claim(builder, mark, statement, ruling.statement, label)))
    _guess_ends(builder, claims)
    findings = insert_rules(builder)
    return TemporalProblem(builder, tuple(claims), tuple(printed), findings)


def _order_of(claim: Claim) -> tuple[int, bool, int]:
    return (claim.rank, not claim.mark, claim.label)


def _guess_ends(builder: Builder, claims: list[Claim]) -> None:
    """Guess each spell's first and last from the claims about it, the most reliable first."""
    potential, ends = builder.network.potential, builder.spell_of
    guessed: dict[int, int] = {}
    seen: dict[int, int] = {}
    for claim in sorted(claims, key=_order_of):
        is_seen = isinstance(claim, StatedClaim) and claim.statement.kind is StatementKind.SEEN
        for tie in claim.ties:
            for point, other in ((tie.tail, tie.head), (tie.head, tie.tail)):
                if point not in ends or other in ends:
                    continue
                when = abs(tie.weight) if other == ORIGIN else potential[other]
                if is_seen:
                    nearer = min if ends[point][1] == "first" else max
                    seen[point] = nearer(seen.get(point, when), when)
                else:
                    guessed.setdefault(point, when)
    for one in builder.ends.values():
        first = guessed.get(one.first, seen.get(one.first, guessed.get(one.last, 0)))
        potential[one.first] = first
        potential[one.last] = max(guessed.get(one.last, seen.get(one.last, first)), first)
    for tie in builder.rules:  # no last that lies too long before the next form's first
        if tie.tail in ends and tie.head in ends:
            potential[tie.tail] = max(potential[tie.tail], potential[tie.head] - tie.weight)


def insert_claims(problem: TemporalProblem, without: frozenset[int] = frozenset()) -> Inserted:
    """Insert the claims, those whose labels are in ``without`` left out; each one refused gets its chain."""
    network = problem.builder.network.copy()
    standing: list[Claim] = []
    out: list[Claim] = []
    for claim in sorted(problem.claims, key=_order_of):
        if claim.label not in without:
            (standing if network.insert(claim.ties) else out).append(claim)
    refused = []
    for claim in out:
        chain = shortest_chain(network, claim.ties, rules=problem.builder.network)
        assert chain is not None, f"a refused claim has no chain: {claim.place}"
        refused.append(Refused(claim, chain))
    return Inserted(network, tuple(standing), tuple(refused))


def _with_first(problem: TemporalProblem, out: list[Claim], standing: tuple[Claim, ...]) -> Network:
    """Return a network that prefers refused claims: a ruling may rest on one that is in dispute again."""
    network = problem.builder.network.copy()
    for claim in (*out, *standing):
        network.insert(claim.ties)
    return network


def solve(problem: TemporalProblem) -> Solved:
    """Insert the claims from the most reliable on and return what follows."""
    network, standing, refused = insert_claims(problem)
    reads = {(claim.mark, claim.index): claim.label for claim in problem.claims if claim.mark}
    ruled = []
    for ruling, claim in problem.printed:
        hidden = frozenset({reads.get((claim.mark, claim.index), claim.label)})
        chain = shortest_chain(network, claim.ties, hidden, problem.builder.network)
        out = [one.claim for one in refused if one.claim.mark == claim.mark]
        if chain is None and out:
            chain = shortest_chain(_with_first(problem, out, standing), claim.ties, hidden)
        ruled.append(Ruled(claim, ruling, chain))
    latest, earliest = network.latest_from(ORIGIN), network.earliest_from(ORIGIN)
    return Solved(problem, network, standing, refused, tuple(ruled), latest, earliest)
