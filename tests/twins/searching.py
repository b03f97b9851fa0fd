"""What a question finds, in Python: what search.js is held against, and what the published figures are of.

A word is asked for as it stands, then as the beginning or a part of a longer one ("schalter" finds
"Kippschalter"), as two words run together or one word parted ("gearknob", "tail lights"), by what others call
it, and last by its likeness. Words for the same thing are tried both ways, so that "hood" finds the soft top
and the bonnet alike.

What is found is ranked by BM25: Robertson, Walker, Jones, Hancock-Beaulieu & Gatford, Okapi at TREC-3 (1994),
with the inverse document frequency that never falls below nought, ln(1 + (N - n + 0.5) / (n + 0.5)).
Likeness is the optimal string alignment distance (Damerau 1964; Levenshtein 1966). Both are held against
published figures in tests/published/test_search.py; the cases in tests/twins/search.json run on both sides.

Two things named in one question find the pages that tell them apart, which are entries of no index.

Each page of a pair goes by the name of the one and of the other, and by what their part is called. A question
names the two when it has words of its own for each of them, those of the one before those of the other, and when
no single name in the guide has all of these words: "black vinyl" is one interior, and not a black leather beside a
tan vinyl. Of the pages that answer, those stay that most of the question speaks for, and of them those of whose
names the least is left unsaid. Where the one's name stands whole within the other's, a question names both by saying
it twice: "enamel or remade enamel".
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from guide.facts.text.folded import compact
from guide.pages.parts.index_entries import packed
from guide.pages.parts.search import stem, words_in

__all__ = ["K1", "bm25", "edit_distance", "find", "find_pairs", "inverse_frequency", "prepare_index", "published"]

K1, B = 1.2, 0.75  # BM25's two usual settings: saturation of a repeated word, weight of length
PREFIX, PART, ALIKE, SYNONYM = 0.7, 0.5, 0.4, 0.8  # of an exact match, by how the word was found
PART_NUMBER = 50.0  # what a part number adds to a score: more than any words do
EXACT, SUCCESSOR = 100.0, 75.0  # what it adds where it is asked for whole, and where it took the place of such a one
NAMED = 20.0  # what being called just so adds
LEAST_PREFIX, LEAST_PART = 3, 4  # letters a beginning, or a part, must have
LEAST_ROOT, ENDING = 5, 2  # a word asked for may have so long an ending more than one known so long
LEAST_SHARE = 0.15  # of the best score: what scores less is not shown


def edit_distance(a: str, b: str, most: int | None = None) -> int:
    """Return the optimal string alignment distance: letters put in, left out, changed, or swapped.

    With ``most``, any distance beyond it may be returned as ``most + 1``.
    """
    if most is not None and abs(len(a) - len(b)) > most:
        return most + 1
    before: list[int] = []
    last = list(range(len(b) + 1))
    for i, letter in enumerate(a, start=1):
        row = [i]
        for j, other in enumerate(b, start=1):
            cost = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (letter != other))
            if i > 1 and j > 1 and letter == b[j - 2] and a[i - 2] == other:
                cost = min(cost, before[j - 2] + 1)
            row.append(cost)
        if most is not None and min(row) > most:
            return most + 1
        before, last = last, row
    return last[-1]


def inverse_frequency(entries: int, holding: int) -> float:
    """Return ln(1 + (N - n + 0.5) / (n + 0.5)): how much a word tells that n of N entries hold."""
    return math.log(1 + (entries - holding + 0.5) / (holding + 0.5))


def bm25(count: float, length: float, mean_length: float, rarity: float) -> float:
    """Return BM25's score of one word in one entry, the factor k1 + 1 included.

    ``count`` is how often the word stands in the entry, ``length`` the entry's words, ``rarity`` the word's
    `inverse_frequency`.
    """
    if count <= 0:
        return 0.0
    return rarity * count * (K1 + 1) / (count + K1 * (1 - B + B * length / mean_length))


@dataclass(frozen=True, slots=True)
class Index:
    """An index made ready: for each word, the entries that hold it and how often (weighted), and what means the same;
    for each name, as the words in it, the entries that are called so."""

    data: Mapping[str, Any]
    counts: Sequence[Mapping[str, float]]
    lengths: Sequence[float]
    mean_length: float
    holding: Mapping[str, Sequence[int]]
    alike: Mapping[str, Sequence[Sequence[str]]]
    called: Mapping[str, Collection[int]]


def published(index: Mapping[str, Any]) -> dict[str, Any]:
    """Return an index as a page carries it of one written by hand, whose entries say their words themselves,
    "word:count word:count...", and which may lack names."""
    pairs = [[pair.rsplit(":", 1) for pair in entry["words"].split()] for entry in index["entries"]]
    words = packed([{word: int(count) for word, count in row} for row in pairs])
    return {"alike": [], "named": [], **index, "holders": words}


def prepare_index(data: Mapping[str, Any]) -> Index:
    """Return an index ready for `find`; ``data`` is what a page carries: see `guide.pages.parts.index_entries`."""
    counts: list[dict[str, float]] = [{} for _ in data["entries"]]
    holding: dict[str, list[int]] = {}
    words, lines = data["holders"]
    first = 0
    for word, line in zip(words.split(), lines.splitlines(), strict=True):
        entry = first
        for held in line.split():
            gap, _, count = held.partition("'")
            entry += int(gap, 36)
            counts[entry][word] = float(int(count or "1", 36))
            holding.setdefault(word, []).append(entry)
        first = holding[word][0]
    lengths = [sum(count.values()) for count in counts]
    mean = sum(lengths) / len(lengths) if lengths else 1.0
    return Index(data, counts, lengths, mean or 1.0, holding, *_names(data))


def _names(data: Mapping[str, Any]) -> tuple[dict[str, list[list[str]]], dict[str, list[int]]]:
    """Return what means the same as each single word, as wordings, and which entries are called just so."""
    titles = [words_in(entry["title"]) for entry in data["entries"]]
    calls = [*((name, at) for at, name in enumerate(titles)), *((words_in(name), at) for at, name in data["named"])]
    alike: dict[str, list[list[str]]] = {}
    for entries, *others in data["alike"]:
        names = [name for name in (titles[entries[0]], *map(words_in, others)) if name]
        calls += [(name, at) for name in names for at in entries]
        for mine in names:
            if len(mine) == 1 and not mine[0].isdecimal():
                found = [other for other in names if other != mine]
                alike[mine[0]] = alike.get(mine[0], []) + found if found else alike.get(mine[0], [])
    called: dict[str, list[int]] = {}
    for name, at in calls:
        if name and at not in called.setdefault(" ".join(name), []):
            called[" ".join(name)].append(at)
    return {word: others for word, others in alike.items() if others}, called


def find(index: Index, question: str) -> dict[str, Any]:
    """Return what a question finds.

    ``found``: ``[{entry, score}]``, best first, ties in the index's order. ``meant``: the question as it was
    understood, when no word of it stood in the guide as typed; else None. What a part number led to has with it
    ``part``: the number as it is written, the one that took its place, the one whose place it took, "" for none.
    """
    asked = list(dict.fromkeys(words_in(question)))
    scores: dict[int, float] = {}
    hits: Counter[int] = Counter()
    meant: list[str] = []
    guessed = False
    for word in asked:
        ways, like = ways_of(index, word, asked)
        meant.append(like or word)
        guessed = guessed or bool(like)
        best: dict[int, float] = {}
        for way, weight in ways:
            rarity = inverse_frequency(len(index.counts), len(index.holding[way]))
            for at in index.holding[way]:
                score = weight * bm25(index.counts[at][way], index.lengths[at], index.mean_length, rarity)
                best[at] = max(best.get(at, 0.0), score)
        for at, score in _by_synonym(index, word).items():
            best[at] = max(best.get(at, 0.0), score)
        for at, score in best.items():
            scores[at] = scores.get(at, 0.0) + score
            hits[at] += 1
    for at in scores:
        scores[at] *= (hits[at] / len(asked)) ** 2  # an entry that answers the whole question comes first
    numbered = _by_part_number(index, question)
    for at, (worth, _) in numbered.items():
        scores[at] = scores.get(at, 0.0) + worth
    least = max(scores.values(), default=0.0) * LEAST_SHARE
    for at in index.called.get(" ".join(words_in(question)), ()):
        scores[at] = scores.get(at, least) + NAMED  # first, and nothing else the less worth showing
    kept = sorted((at for at in scores if scores[at] >= least), key=lambda at: (-round(scores[at], 9), at))
    found: list[dict[str, Any]] = [{"entry": at, "score": scores[at]} for at in kept]
    for one in found:
        if one["entry"] in numbered:
            one["part"] = numbered[one["entry"]][1]
    return {"found": found, "meant": " ".join(meant) if guessed else None}


def ways_of(index: Index, word: str, asked: Sequence[str]) -> tuple[list[tuple[str, float]], str]:
    """Return the index's words that one asked for may stand for, with weights, and any likeness used."""
    known = index.holding
    ways: dict[str, float] = {}
    if word in known:
        ways[word] = 1.0
    for other in known:
        if other not in ways:
            if len(word) >= LEAST_PREFIX and other.startswith(word):
                ways[other] = PREFIX
            elif len(word) >= LEAST_PART and word in other:
                ways[other] = PART
            elif len(other) >= LEAST_ROOT and word.startswith(other) and len(word) - len(other) <= ENDING:
                ways[other] = PREFIX
    for first, second in pairwise(asked):
        if word in (first, second) and first + second in known:
            ways.setdefault(first + second, PREFIX)
    if word not in known:
        for at in range(LEAST_PREFIX, len(word) - LEAST_PREFIX + 1):
            head, tail = stem(word[:at]), word[at:]
            if head in known and tail in known:
                ways.setdefault(head, PART)
                ways.setdefault(tail, PART)
    if ways or word in index.alike or any(letter.isdigit() for letter in word):
        return list(ways.items()), ""
    most = 0 if len(word) < 4 else 1 if len(word) < 7 else 2
    near = _nearest(index, word, min(most, 1)) or _endings(index, word) or _nearest(index, word, most)
    if not near:
        return [], ""
    return [(like, ALIKE) for like in near if like in known], near[0]


def _endings(index: Index, word: str) -> list[str]:
    """Return the longest word known that one put together ends in, as an ashtray is a tray."""
    ends = (word[at:] for at in range(2, len(word) - LEAST_PART + 1))
    return [end for end in ends if end in index.holding][:1]


def _nearest(index: Index, word: str, most: int) -> list[str]:
    """Return the words nearest to one misspelt, nearest first; none when nothing is as near as ``most``.

    Of words as near, one that begins alike comes first, then one that stands in names rather than in texts.
    """
    ranked = []
    for at, other in enumerate(dict.fromkeys([*index.holding, *index.alike])):
        distance = edit_distance(word, other, most)
        if 0 < distance <= most and not other.isdigit():
            weight = max((index.counts[entry][other] for entry in index.holding.get(other, ())), default=0.0)
            ranked.append((distance, word[0] != other[0], -weight, at, other))
    ranked.sort()
    return [other for distance, *_, other in ranked if distance == ranked[0][0]][:4]


def _by_synonym(index: Index, word: str) -> dict[int, float]:
    """Return the entries that hold every word of something that means the same, with their scores."""
    found: dict[int, float] = {}
    for others in index.alike.get(word, ()):
        if not all(other in index.holding for other in others):
            continue
        for at in index.holding[others[0]]:
            if all(other in index.counts[at] for other in others):
                score = min(
                    bm25(
                        index.counts[at][other],
                        index.lengths[at],
                        index.mean_length,
                        inverse_frequency(len(index.counts), len(index.holding[other])),
                    )
                    for other in others
                )
                found[at] = max(found.get(at, 0.0), SYNONYM * score)
    return found


def _by_part_number(index: Index, question: str) -> dict[int, tuple[float, list[str]]]:
    """Return the entries that a number leads to: what that is worth, and the number with those beside it.

    A number that is asked for, alone or among words, leads on to what took its place; of two of which the one holds the
    other, the longer is meant.
    """
    asked, found = compact(question), dict[int, tuple[float, list[str]]]()
    if not any(letter.isdigit() for letter in asked):
        return found
    rows = [(compact(number), at, number, after) for number, at, after in _with_after(index.data["parts"])]

    def lead(meant: str, worth: float, before: str) -> None:
        for number, at, written, after in rows:
            if number == meant and at not in found:
                found[at] = (worth, [written, after, before])

    within = list(dict.fromkeys(number for number, *_ in rows if _is_named(number, asked)))
    for meant in (one for one in within if not any(one in other for other in within if other != one)):
        met = [meant]
        lead(meant, EXACT, "")
        before, after = _next(rows, meant)
        while after and compact(after) not in met:
            met.append(compact(after))
            lead(met[-1], SUCCESSOR, before)
            before, after = _next(rows, met[-1])
    for number, at, written, after in rows:
        if len(asked) >= LEAST_PART and asked in number and at not in found:
            found[at] = (PART_NUMBER, [written, after, ""])
    return found


def _is_named(number: str, asked: str) -> bool:
    """Tell whether a number is all that is asked, or stands in it."""
    return number == asked or (
        len(number) >= LEAST_PART and number in asked and any(letter.isdigit() for letter in number)
    )


def _with_after(parts: Sequence[Sequence[Any]]) -> list[tuple[str, int, str]]:
    return [(number, at, after[0] if after else "") for number, at, *after in parts]


def _next(rows: Sequence[tuple[str, int, str, str]], meant: str) -> tuple[str, str]:
    """Return a number as it is written, and the one that took its place."""
    return next(((written, after) for number, _, written, after in rows if number == meant and after), ("", ""))


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
    return [*ways, *((others[0], SYNONYM) for others in index.alike.get(word, ()) if len(others) == 1)]


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
