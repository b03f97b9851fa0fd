"""The worked problem of Dechter, Meiri & Pearl, Temporal constraint networks.

Source: Artificial Intelligence 49 (1991); the story as retold second-hand, the closure recomputed with networkx
and scipy. Minutes after 7:00; points: 0 seven o'clock, 1 John leaves, 2 John arrives, 3 Fred leaves, 4 Fred
arrives.
"""

from __future__ import annotations

import pytest

from guide.limits.chain import shortest_chain
from guide.limits.network import Network, Tie

LEAVES = [(0, 1, 10, 20)]
JOHN = {"car": (1, 2, 30, 40), "bus": (1, 2, 60, None)}
FRED = {"carpool": (3, 4, 40, 50), "car": (3, 4, 20, 30)}
REST = [(0, 4, 60, 70), (3, 2, 10, 20)]

CLOSURE = [
    [0, 20, 50, 30, 70],
    [-10, 0, 40, 20, 60],
    [-40, -30, 0, -10, 30],
    [-20, -10, 20, 0, 50],
    [-60, -50, -20, -40, 0],
]


def problem(john: str, fred: str) -> list[Tie]:
    """All ties of one choice, each label the number of the interval it is from."""
    ties = []
    for label, (tail, head, low, high) in enumerate([*LEAVES, JOHN[john], FRED[fred], *REST]):
        if high is not None:
            ties.append(Tie(tail, head, high, label=label))
        ties.append(Tie(head, tail, -low, label=label))
    return ties


def network() -> Network:
    made = Network()
    for _ in range(5):
        made.add_point()
    return made


def test_every_shortest_way_is_the_published_closure() -> None:
    made = network()
    assert made.insert(problem("car", "carpool"))
    assert [made.latest_from(point).distance for point in range(5)] == CLOSURE


def test_the_minimal_network_gives_the_published_bounds_from_seven() -> None:
    made = network()
    assert made.insert(problem("car", "carpool"))
    latest, earliest = made.latest_from(0).distance, made.earliest_from(0).distance
    assert [(-(low or 0), high) for low, high in zip(earliest, latest, strict=True)][1:] == [
        (10, 20),
        (40, 50),
        (20, 30),
        (60, 70),
    ]


def test_the_ways_behind_the_bounds_add_up_to_them() -> None:
    made = network()
    made.insert(problem("car", "carpool"))
    latest, earliest = made.latest_from(0), made.earliest_from(0)
    for point in range(5):
        assert sum(tie.weight for tie in made.way(latest, point)) == latest.distance[point]
        assert sum(tie.weight for tie in made.way(earliest, point)) == earliest.distance[point]


@pytest.mark.parametrize(("john", "fred"), [("car", "carpool"), ("car", "car"), ("bus", "car")])
def test_three_of_the_four_choices_are_consistent(john: str, fred: str) -> None:
    assert network().insert(problem(john, fred))


def test_bus_and_carpool_close_the_published_negative_cycle() -> None:
    made = network()
    ties = problem("bus", "carpool")
    by_bus = [tie for tie in ties if tie.label == 1]
    assert made.insert([tie for tie in ties if tie.label != 1])
    assert not made.insert(by_bus)
    chain = shortest_chain(made, by_bus)
    assert chain is not None
    assert chain.ticks == -20
    assert [(tie.tail, tie.head, tie.weight) for tie in chain.ties] == [
        (2, 1, -60),
        (1, 0, -10),
        (0, 4, 70),
        (4, 3, -40),
        (3, 2, 20),
    ]
    assert sorted(chain.labels()) == [0, 1, 2, 3, 4]
