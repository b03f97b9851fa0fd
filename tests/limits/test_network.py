"""The network against networkx and against enumeration, on random networks."""

from __future__ import annotations

from itertools import combinations
from typing import Any
from unittest.mock import patch

import networkx
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.limits import network as limits_network
from guide.limits.chain import shortest_chain
from guide.limits.network import Network, Tie

POINTS = 7

raw_ties = st.tuples(st.integers(0, POINTS - 1), st.integers(0, POINTS - 1), st.integers(-12, 25))
statements = st.lists(st.lists(raw_ties, min_size=1, max_size=3), max_size=14)
points = st.integers(0, POINTS - 1)
rules = st.lists(st.tuples(points, points, st.integers(0, 25)), max_size=8)
guesses = st.lists(st.integers(-30, 30), min_size=POINTS, max_size=POINTS)


def graph_of(ties: list[Tie]) -> networkx.DiGraph:
    """The same ties as a graph of networkx: the smallest weight where several join two points."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(POINTS))
    for tie in ties:
        known = graph.get_edge_data(tie.tail, tie.head, {"weight": tie.weight})["weight"]
        graph.add_edge(tie.tail, tie.head, weight=min(known, tie.weight))
    return graph


def can_be_met(ties: list[Tie]) -> bool:
    """What networkx says of a set of ties."""
    if any(tie.tail == tie.head and tie.weight < 0 for tie in ties):
        return False
    return not networkx.negative_edge_cycle(graph_of(ties))


def made_of(guess: list[int], rule_ties: list[tuple[int, int, int]]) -> Network:
    made = Network()
    for one in guess:
        made.add_point(one)
    assert made.insert([Tie(*tie) for tie in rule_ties])
    return made


def labelled(bundles: list[list[tuple[int, int, int]]]) -> list[list[Tie]]:
    return [[Tie(*tie, label=label) for tie in bundle] for label, bundle in enumerate(bundles)]


@settings(deadline=None, max_examples=150)
@given(guesses, rules, statements)
def test_insertion_refuses_exactly_what_would_close_a_negative_cycle(
    guess: list[int], rule_ties: list[tuple[int, int, int]], bundles: list[list[tuple[int, int, int]]]
) -> None:
    made = made_of(guess, rule_ties)
    for bundle in labelled(bundles):
        held = list(made.ties)
        assert made.insert(bundle) == can_be_met([*held, *bundle])
        assert all(made.potential[t.head] <= made.potential[t.tail] + t.weight for t in made.ties)
    for point, (out, into) in enumerate(zip(made.out, made.into, strict=True)):
        assert out == [index for index, tie in enumerate(made.ties) if tie.tail == point]
        assert into == [index for index, tie in enumerate(made.ties) if tie.head == point]


@settings(deadline=None, max_examples=150)
@given(guesses, rules, statements)
def test_both_passes_agree_with_bellman_ford(
    guess: list[int], rule_ties: list[tuple[int, int, int]], bundles: list[list[tuple[int, int, int]]]
) -> None:
    made = made_of(guess, rule_ties)
    for bundle in labelled(bundles):
        made.insert(bundle)
    graph = graph_of(made.ties)
    forward = networkx.single_source_bellman_ford_path_length(graph, 0)
    backward = networkx.single_source_bellman_ford_path_length(graph.reverse(), 0)
    latest, earliest = made.latest_from(0), made.earliest_from(0)
    assert {p: d for p, d in enumerate(latest.distance) if d is not None} == dict(forward)
    assert {p: d for p, d in enumerate(earliest.distance) if d is not None} == dict(backward)
    for point, distance in forward.items():
        assert sum(tie.weight for tie in made.way(latest, point)) == distance
    for point, distance in backward.items():
        assert sum(tie.weight for tie in made.way(earliest, point)) == distance


@settings(deadline=None, max_examples=150)
@given(guesses, guesses, rules, statements, st.sets(st.integers(0, 30)))
def test_what_explains_a_limit_or_a_clash_does_not_depend_on_the_guesses(
    guess: list[int],
    other: list[int],
    rule_ties: list[tuple[int, int, int]],
    bundles: list[list[tuple[int, int, int]]],
    said: set[int],
) -> None:
    """Ties whose index is in ``said`` have a why, so that telling them costs more."""
    told = []
    for one in (guess, other):
        made, refused = made_of(one, rule_ties), []
        for label, bundle in enumerate(labelled(bundles)):
            ties = [tie._replace(why="said") if label in said else tie for tie in bundle]
            if not made.insert(ties):
                refused.append(ties)
        latest, earliest = made.latest_from(0), made.earliest_from(0)
        told.append((latest, earliest, [shortest_chain(made, ties) for ties in refused]))
    assert told[0] == told[1]


def test_of_ways_equally_long_the_one_told_in_fewest_words_wins_then_the_one_inserted_first() -> None:
    made = made_of([0] * POINTS, [])
    ties = [
        Tie(0, 1, 2, "a"),
        Tie(1, 2, 3, "b"),
        Tie(0, 3, 4),
        Tie(3, 4, 0),
        Tie(4, 2, 1),
        Tie(0, 5, 5, "c"),
        Tie(5, 2, 0),
        Tie(4, 2, 1),
    ]
    assert made.insert(ties)
    assert made.way(made.latest_from(0), 2) == [ties[4], ties[3], ties[2]]


def fewest_by_enumeration(standing: list[list[Tie]], rule: list[Tie], own: list[Tie]) -> int:
    """The size of the smallest set of standing statements that the refused one cannot join."""
    for size in range(len(standing) + 1):
        for chosen in combinations(standing, size):
            if not can_be_met([*rule, *own, *(tie for bundle in chosen for tie in bundle)]):
                return size
    raise AssertionError("it could stand")


single = st.lists(st.lists(raw_ties, min_size=1, max_size=1), max_size=9)


@settings(deadline=None, max_examples=150)
@given(guesses, rules, single)
def test_a_refused_statement_gets_the_chain_with_the_fewest_others(
    guess: list[int], rule_ties: list[tuple[int, int, int]], bundles: list[list[tuple[int, int, int]]]
) -> None:
    made = made_of(guess, rule_ties)
    rule = list(made.ties)
    standing: list[Any] = []
    refused: list[Any] = []
    for bundle in labelled(bundles):
        (standing if made.insert(bundle) else refused).append(bundle)
    for own in refused:
        if own[0].tail == own[0].head:
            continue
        chain = shortest_chain(made, own)
        assert chain is not None
        assert chain.ticks < 0
        assert all(one.head == other.tail for one, other in zip(chain.ties, chain.ties[1:], strict=False))
        assert chain.ties[-1].head == chain.ties[0].tail
        assert len(chain.labels()) - 1 == fewest_by_enumeration(standing, rule, own)


@settings(deadline=None, max_examples=100)
@given(guesses, rules, statements)
def test_a_statement_of_several_ties_gets_a_chain_too_and_nothing_else_changes(
    guess: list[int], rule_ties: list[tuple[int, int, int]], bundles: list[list[tuple[int, int, int]]]
) -> None:
    made = made_of(guess, rule_ties)
    refused = [bundle for bundle in labelled(bundles) if not made.insert(bundle)]
    before = list(made.ties)
    for own in refused:
        if can_be_met(own):
            chain = shortest_chain(made, own)
            assert chain is not None
            assert chain.ticks < 0
    assert made.ties == before
    assert all(made.potential[t.head] <= made.potential[t.tail] + t.weight for t in made.ties)


@settings(deadline=None, max_examples=200)
@given(guesses, rules, statements, st.sets(st.integers(0, 30)), st.integers(1, 4))
def test_what_is_looked_for_near_by_first_is_what_would_be_found_anyhow(
    guess: list[int],
    rule_ties: list[tuple[int, int, int]],
    bundles: list[list[tuple[int, int, int]]],
    said: set[int],
    near: int,
) -> None:
    rule, told = made_of(guess, rule_ties), []
    ties = [
        [tie._replace(why="said") if at in said else tie for tie in one] for at, one in enumerate(labelled(bundles))
    ]
    for far, network in ((10**9, None), (1, rule)):
        with patch.multiple(limits_network, _NEAR=near, _FAR=far):
            made = rule.copy()
            refused = [bundle for bundle in ties if not made.insert(bundle)]
            told.append((refused, [shortest_chain(made, bundle, rules=network) for bundle in refused]))
    assert told[0] == told[1]


def test_a_statement_passed_in_and_out_by_one_point_counts_once() -> None:
    """Statement 0 says that both 1 and 2 are 5 to 6 after the origin; 3 goes with 1 and 4 with 2 by rule."""
    made = made_of([0] * POINTS, [(3, 1, 0), (2, 4, 0)])
    both = [Tie(0, 1, 6, label=0), Tie(1, 0, -5, label=0), Tie(0, 2, 6, label=0), Tie(2, 0, -5, label=0)]
    assert made.insert(both)
    own = [Tie(4, 3, -3, label=1)]
    assert not made.insert(own)
    chain = shortest_chain(made, own)
    assert chain is not None
    assert chain.labels() == (1, 0)


def test_a_hidden_statement_takes_no_part_in_a_chain() -> None:
    made = made_of([0] * POINTS, [])
    assert made.insert([Tie(0, 1, 5, label=0)])
    assert shortest_chain(made, [Tie(1, 0, -6, label=1)]) is not None
    assert shortest_chain(made, [Tie(1, 0, -6, label=1)], frozenset({0})) is None
