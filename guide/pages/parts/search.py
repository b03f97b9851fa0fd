"""Looking things up: forgiving where people are uncertain, exact where they are sure.

A word is asked for as it stands, then as the beginning or a part of a longer one ("schalter" finds
"Kippschalter"), as two words run together or one word parted ("gearknob", "tail lights"), by what others call
it, and last by its likeness. Accents count neither in the question nor in the guide, and an umlaut is found
written with or without its e. Words for the same thing are tried both ways, so that "hood" finds the soft top
and the bonnet alike. Numbers of cars are `guide.facts.when.numbers`'s business; part numbers are compared with all
spacing and signs taken out.

What is found is ranked by BM25: Robertson, Walker, Jones, Hancock-Beaulieu & Gatford, Okapi at TREC-3 (1994),
with the inverse document frequency that never falls below nought, ln(1 + (N - n + 0.5) / (n + 0.5)).
Likeness is the optimal string alignment distance (Damerau 1964; Levenshtein 1966). Both are held against
published figures in tests/published/test_search.py. The browser's twin is search.js; the cases in
tests/twins/search.json run on both sides.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

__all__ = [
    "SYNONYM",
    "Index",
    "bm25",
    "compact",
    "edit_distance",
    "find",
    "fold",
    "inverse_frequency",
    "prepare_index",
    "spellings",
    "stem",
    "ways_of",
    "words_in",
]

K1, B = 1.2, 0.75  # BM25's two usual settings: saturation of a repeated word, weight of length
PREFIX, PART, ALIKE, SYNONYM = 0.7, 0.5, 0.4, 0.8  # of an exact match, by how the word was found
PART_NUMBER = 50.0  # what a part number adds to a score: more than any words do
LEAST_PREFIX, LEAST_PART = 3, 4  # letters a beginning, or a part, must have
LEAST_ROOT, ENDING = 5, 2  # a word asked for may have so long an ending more than one known so long
LEAST_SHARE = 0.15  # of the best score: what scores less is not shown
_SPECIAL = {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ł": "l", "ı": "i", "þ": "th", "ð": "d"}
_UMLAUT = {"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa"}
_WORD = re.compile(r"[^\W_]+")
STOP = frozenset(  # too common to tell anything
    "a an and at by for from how in is it of on or the to was what when where which with".split()  # noqa: SIM905
)


def fold(text: str) -> str:
    """Return text without capitals and accents, in which two ways of writing one word are alike."""
    spelt = "".join(_SPECIAL.get(letter, letter) for letter in unicodedata.normalize("NFC", text).lower())
    parted = unicodedata.normalize("NFKD", spelt)
    return "".join(letter for letter in parted if not unicodedata.category(letter).startswith("M"))


def stem(word: str) -> str:
    """Return a word without the s of an English plural; other languages lose it on both sides alike."""
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word


def words_in(text: str) -> list[str]:
    """Return the folded, stemmed words of a text in order; the commonest little words are left out."""
    return [stem(word) for word in _WORD.findall(fold(text)) if word not in STOP]


def spellings(text: str) -> list[str]:
    """Return `words_in` a text and, for words with an umlaut, how they are written with an e as well."""
    spelt = unicodedata.normalize("NFC", text).lower()
    with_e = "".join(_UMLAUT.get(letter, letter) for letter in spelt)
    found = words_in(text)
    return found if with_e == spelt else found + [word for word in words_in(with_e) if word not in found]


def compact(text: str) -> str:
    """Return only the letters and digits of a part number, folded."""
    return "".join(_WORD.findall(fold(text)))


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
    """An index made ready: for each word, the entries that hold it and how often (weighted)."""

    data: Mapping[str, Any]
    counts: Sequence[Mapping[str, float]]
    lengths: Sequence[float]
    mean_length: float
    holding: Mapping[str, Sequence[int]]


def prepare_index(data: Mapping[str, Any]) -> Index:
    """Return an index ready for `find`.

    ``data`` is what a page carries: ``entries``, each ``{kind, title, says, path, picture, words}`` with
    ``words`` a string "word:count word:count..."; ``alike``, word -> lists of words that mean the same;
    ``parts``, a list of (part number, entry). What else it carries is for others, as ``pairs`` for
    `guide.pages.parts.search_pairs`.
    """
    counts = []
    for entry in data["entries"]:
        pairs = (pair.rsplit(":", 1) for pair in entry["words"].split(" ") if pair)
        counts.append({word: float(count) for word, count in pairs})
    lengths = [sum(count.values()) for count in counts]
    holding: dict[str, list[int]] = {}
    for at, count in enumerate(counts):
        for word in count:
            holding.setdefault(word, []).append(at)
    mean = sum(lengths) / len(lengths) if lengths else 1.0
    return Index(data, counts, lengths, mean or 1.0, holding)


def find(index: Index, question: str) -> dict[str, Any]:
    """Return what a question finds.

    ``found``: ``[{entry, score}]``, best first, ties in the index's order. ``meant``: the question as it was
    understood, when no word of it stood in the guide as typed; else None.
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
    for at in _by_part_number(index, question):
        scores[at] = scores.get(at, 0.0) + PART_NUMBER
    least = max(scores.values(), default=0.0) * LEAST_SHARE
    kept = sorted((at for at in scores if scores[at] >= least), key=lambda at: (-round(scores[at], 9), at))
    return {"found": [{"entry": at, "score": scores[at]} for at in kept], "meant": " ".join(meant) if guessed else None}


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
    if ways or word in index.data["alike"] or any(letter.isdigit() for letter in word):
        return list(ways.items()), ""
    near = _nearest(index, word)
    if not near:
        return [], ""
    return [(like, ALIKE) for like in near if like in known], near[0]


def _nearest(index: Index, word: str) -> list[str]:
    """Return the words nearest to one misspelt, nearest first; none when nothing is near enough.

    Of words as near, one that begins alike comes first, then one that stands in names rather than in texts.
    """
    most = 0 if len(word) < 4 else 1 if len(word) < 7 else 2
    ranked = []
    for at, other in enumerate(dict.fromkeys([*index.holding, *index.data["alike"]])):
        distance = edit_distance(word, other, most)
        if 0 < distance <= most and not other.isdigit():
            weight = max((index.counts[entry][other] for entry in index.holding.get(other, ())), default=0.0)
            ranked.append((distance, word[0] != other[0], -weight, at, other))
    ranked.sort()
    return [other for distance, *_, other in ranked if distance == ranked[0][0]][:4]


def _by_synonym(index: Index, word: str) -> dict[int, float]:
    """Return the entries that hold every word of something that means the same, with their scores."""
    found: dict[int, float] = {}
    for others in index.data["alike"].get(word, ()):
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


def _by_part_number(index: Index, question: str) -> list[int]:
    asked = compact(question)
    if len(asked) < 4 or not any(letter.isdigit() for letter in asked):
        return []
    return [
        at for number, at in index.data["parts"] if asked in number or (len(number) >= LEAST_PART and number in asked)
    ]
