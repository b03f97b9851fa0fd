"""Two things named in one question: the pages that tell them apart, which are entries of no index.

Each page of a pair goes by the name of the one and of the other, and by what their part is called. A question
names the two when it has words of its own for each of them, those of the one before those of the other, and when
no single name in the guide has all of these words: "black vinyl" is one interior, and not a black leather beside a
tan vinyl. Of the pages that answer, those stay that most of the question speaks for, and of them those of whose
names the least is left unsaid. Where the one's name stands whole within the other's, a question names both by saying
it twice: "enamel or remade enamel".

The browser's twin is in search.js; the cases in tests/twins/search.json run on both sides.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from guide.pages.parts.search import SYNONYM, Index, ways_of, words_in

__all__ = ["find_pairs"]


@dataclass(slots=True)
class _Named:
    """How far a question names the two of a pair."""

    covered: float = 0.0  # words of the question, less for those found by likeness
    turns: list[int] = field(default_factory=list)  # which of the two, 0 or 1, each word of their own speaks for
    claimed: set[str] = field(default_factory=set)  # the words of the names that it used for that

    @property
    def one_then_other(self) -> bool:
        """Whether both have words of their own, those of the one before those of the other."""
        return sum(a != b for a, b in pairwise(self.turns)) == 1


@dataclass(frozen=True, slots=True)
class _Word:
    """A word asked for: what it may stand for with weights, and whether it comes again."""

    ways: Sequence[tuple[str, float]]
    again: bool

    def best(self, words: Collection[str]) -> tuple[float, str]:
        """Return the heaviest of its ways among some words, and that way."""
        return max(((weight, way) for way, weight in self.ways if way in words), default=(0.0, ""))


def find_pairs(index: Index, question: str) -> list[int]:
    """Return the pairs whose two sides a question names, best first, as places in the index's ``pairs``.

    ``pairs`` are rows ``[title, path, words of the part, words of the one's name, words of the other's]``, words
    as one text each.
    """
    words = words_in(question)
    asked = [_Word(_meanings(index, word, words), word in words[at + 1 :]) for at, word in enumerate(words)]
    said = {way for word in asked for way, _ in word.ways}
    pairs = [tuple(text.split() for text in row[2:]) for row in index.data["pairs"]]
    names = [set(name) for _, *sides in pairs for name in sides]
    found = []
    for at, (part, one, other) in enumerate(pairs):
        own = [[word for word in one if word not in other], [word for word in other if word not in one]]
        common = [word for word in one if word in other]
        named = _named(asked, {*part, *common}, own)
        if all(own):
            offered = named.one_then_other and not any(named.claimed <= name for name in names)
        else:  # "enamel or remade enamel": the one's name within the other's
            offered = bool(named.turns) and any(word.again and word.best(common)[0] for word in asked)
        if offered:
            unsaid = sum(word not in said for side in own for word in side)
            found.append((-round(named.covered, 9), unsaid, at))
    found.sort()
    return [at for covered, unsaid, at in found if (covered, unsaid) == found[0][:2]]


def _meanings(index: Index, word: str, asked: Sequence[str]) -> list[tuple[str, float]]:
    """Return the index's words that one asked for may stand for, single words that mean the same among them."""
    ways, _ = ways_of(index, word, asked)
    return [*ways, *((others[0], SYNONYM) for others in index.data["alike"].get(word, ()) if len(others) == 1)]


def _named(asked: Sequence[_Word], shared: Collection[str], own: Sequence[Sequence[str]]) -> _Named:
    """Return how far a question speaks of a pair; ``shared`` are words of the part and of both names.

    A word that speaks for both of the two turns to neither. One that the part goes by as well speaks for one of
    them only where it is all of its own name, and the last time that it is said: of a washer bottle "bottle" does,
    of tail lamps "lamp" does not speak for those with a reversing lamp.
    """
    named = _Named()
    for word in asked:
        both = word.best(shared)[0]
        sides = [word.best(side) for side in own]
        turn = 0 if sides[0][0] > sides[1][0] else 1
        weight, way = sides[turn]
        named.covered += max(both, weight)
        whole = weight == both and len(own[turn]) == 1 and not word.again
        if sides[0][0] != sides[1][0] and (weight > both or whole):
            named.turns.append(turn)
            named.claimed.add(way)
    return named
