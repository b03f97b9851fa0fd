"""Allen's interval algebra, as a check of the network that spells are put into.

Source: Allen, Maintaining knowledge about temporal intervals, Communications of the ACM 26 (1983); the entries and
the counts below agree with two public tables. Capital letters are converses. Each relation is a set of ties between
ends; which relations of A to C are possible, given those of A to B and B to C, is asked of the network.
"""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest

from guide.limits.network import Network, Tie

# Ends of the first interval are 0 and 1, of the second 2 and 3: "<" strictly before, "=" at one moment.
RELATIONS = {
    "p": "1<2",
    "m": "1=2",
    "o": "0<2 2<1 1<3",
    "F": "0<2 1=3",
    "D": "0<2 3<1",
    "s": "0=2 1<3",
    "e": "0=2 1=3",
    "S": "0=2 3<1",
    "d": "2<0 1<3",
    "f": "2<0 1=3",
    "O": "2<0 0<3 3<1",
    "M": "3=0",
    "P": "3<0",
}
ALL = "pmoFDseSdfOMP"


def ties(relation: str, first: int, second: int) -> list[Tie]:
    """A relation between two intervals whose first ends are given."""
    ends = (first, first + 1, second, second + 1)
    found = []
    for part in RELATIONS[relation].split():
        one, other = ends[int(part[0])], ends[int(part[2])]
        found.append(Tie(other, one, -1 if part[1] == "<" else 0))
        if part[1] == "=":
            found.append(Tie(one, other, 0))
    return found


def compose(one: str, other: str) -> str:
    """The relations that A can have to C when A has `one` to B and B has `other` to C."""
    made = Network()
    for _ in range(6):
        made.add_point()
    for start in (0, 2, 4):
        assert made.insert([Tie(start + 1, start, -1)])
    assert made.insert(ties(one, 0, 2))
    assert made.insert(ties(other, 2, 4))
    return "".join(third for third in ALL if made.copy().insert(ties(third, 0, 4)))


TABLE = {one + other: compose(one, other) for one, other in product(ALL, repeat=2)}


@pytest.mark.parametrize(
    ("pairs", "expected"),
    [
        ("pp mm mo om", "p"),
        ("pd", "pmosd"),
        ("pP Pp dD", ALL),
        ("md od", "osd"),
        ("mM fF", "Fef"),
        ("oo", "pmo"),
        ("oO Dd", "oFDseSdfO"),
        ("sS", "seS"),
        ("sf dd", "d"),
        ("Mp", "pmoFD"),
    ],
)
def test_compositions_are_the_published_ones(pairs: str, expected: str) -> None:
    for pair in pairs.split():
        assert TABLE[pair] == expected


def test_the_whole_table_has_the_published_sizes() -> None:
    assert Counter(len(entry) for entry in TABLE.values()) == {1: 97, 3: 42, 5: 24, 9: 3, 13: 3}


def test_every_entry_agrees_with_its_converse() -> None:
    for pair, entry in TABLE.items():
        converse = TABLE[pair[1].swapcase() + pair[0].swapcase()] if "e" not in pair else None
        if converse is not None:
            assert {one if one == "e" else one.swapcase() for one in entry} == set(converse)
