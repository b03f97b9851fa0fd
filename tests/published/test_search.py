"""Ranking and likeness against published figures.

BM25: Robertson, Walker, Jones, Hancock-Beaulieu & Gatford, Okapi at TREC-3 (1994), with the inverse document
frequency of Apache Lucene, ln(1 + (N - n + 0.5) / (n + 0.5)), k1 1.2 and b 0.75; the figures with the factor
k1 + 1 were worked out by hand, those without it are what the reference library bm25s 0.3.16 ("lucene") gives.

Edit distance: Levenshtein, Soviet Physics Doklady 10 (1966) and Damerau, Communications of the ACM 7 (1964), in
the form called optimal string alignment; the figures are rapidfuzz's and textdistance's. "ca" to "abc" is the
well-known pair that tells it (3) from the full Damerau distance (2).
"""

from __future__ import annotations

import pytest

from tests.pages.scripts import evaluate
from tests.twins.searching import K1, bm25, edit_distance, inverse_frequency, prepare_index, published

CORPUS = ["red door window handle", "door handle door", "window regulator red", "seat belt red red red"]
BY_HAND = {"door": [0.674745, 1.009883, 0, 0], "red": [0.347206, 0, 0.388458, 0.523123]}
WITHOUT_FACTOR = {"door": [0.306702, 0.459038, 0, 0], "red": [0.157821, 0, 0.176572, 0.237783]}
DISTANCES = [
    ("kitten", "sitting", 3),
    ("Saturday", "Sunday", 3),
    ("ca", "abc", 3),
    ("abcdef", "badcfe", 3),
    ("rosettacode", "raisethysword", 8),
]


INDEX = published(
    {
        "entries": [
            {"title": "", "words": " ".join(f"{one}:{text.split().count(one)}" for one in dict.fromkeys(text.split()))}
            for text in CORPUS
        ],
        "parts": [],
    }
)


def scores(word: str) -> list[float]:
    index = prepare_index(INDEX)
    rarity = inverse_frequency(len(CORPUS), len(index.holding[word]))
    return [
        bm25(count.get(word, 0), length, index.mean_length, rarity)
        for count, length in zip(index.counts, index.lengths, strict=True)
    ]


@pytest.mark.parametrize("word", BY_HAND)
def test_bm25_gives_the_figures_worked_out_by_hand(word: str) -> None:
    assert scores(word) == pytest.approx(BY_HAND[word], abs=1e-6)


@pytest.mark.parametrize("word", WITHOUT_FACTOR)
def test_bm25_gives_the_reference_librarys_figures_times_its_factor(word: str) -> None:
    assert [score / (K1 + 1) for score in scores(word)] == pytest.approx(WITHOUT_FACTOR[word], abs=1e-6)


def test_a_word_in_half_the_entries_still_tells_something() -> None:
    assert inverse_frequency(4, 2) > 0
    assert inverse_frequency(4, 4) > 0


@pytest.mark.parametrize(("a", "b", "distance"), DISTANCES)
def test_likeness_gives_the_published_distances(a: str, b: str, distance: int) -> None:
    assert edit_distance(a, b) == distance
    assert edit_distance(b, a) == distance
    assert edit_distance(a, b, distance) == distance
    assert edit_distance(a, b, distance - 1) > distance - 1


def test_the_browser_gives_the_same_figures(node: str) -> None:
    run = """(() => {
      const search = guide.search;
      const index = search.prepare(given.index);
      const scores = Object.fromEntries(given.words.map((word) => [word, index.counts.map((count, at) =>
        search.bm25(count.get(word) || 0, index.lengths[at], index.mean,
          search.inverseFrequency(4, index.holding.get(word).length)))]));
      return [scores, given.pairs.map((pair) => search.editDistance(pair[0], pair[1]))];
    })()"""
    given = {"index": INDEX, "words": list(BY_HAND), "pairs": [pair[:2] for pair in DISTANCES]}
    found, distances = evaluate(node, "search", run, given)
    for word, figures in BY_HAND.items():
        assert found[word] == pytest.approx(figures, abs=1e-6)
    assert distances == [pair[2] for pair in DISTANCES]
