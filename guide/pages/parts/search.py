"""Words as they are looked up: forgiving where people are uncertain, exact where they are sure.

Accents count neither in the question nor in the guide, an umlaut is found written with or without its e, and a plural
is found by its singular. Part numbers are compared with all spacing and signs taken out. The index is made of such
words (`guide.pages.parts.index_entries`); what a question finds is worked out in the browser alone, by search.js, which
tests/twins/searching.py holds against the same ranking in Python.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from guide.facts.text.folded import WORD, fold

__all__ = ["spellings", "stem", "words_in"]

_UMLAUT = {"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa"}
# Too common to tell anything, in English and in German; not "die", which English casts in.
_COMMON = (
    "a an and at by for from how in is it of on or the to was what when where which with "
    "der das und ein eine einem einen einer ist mit von vom zu zum zur im auf den dem des oder nach bei "
    "wo wie wann welche welcher welches"
)
STOP = frozenset(_COMMON.split())


@lru_cache(1 << 14)
def stem(word: str) -> str:
    """Return a word without the s of an English plural; other languages lose it on both sides alike."""
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss"):
        return word[:-1]
    return word


def words_in(text: str) -> list[str]:
    """Return the folded, stemmed words of a text in order; the commonest little words are left out."""
    return [stem(word) for word in WORD.findall(fold(text)) if word not in STOP]


def spellings(text: str) -> list[str]:
    """Return `words_in` a text and, for words with an umlaut, how they are written with an e as well."""
    if text.isascii():
        return words_in(text)
    spelt = unicodedata.normalize("NFC", text).lower()
    with_e = "".join(_UMLAUT.get(letter, letter) for letter in spelt)
    found = words_in(text)
    return found if with_e == spelt else found + [word for word in words_in(with_e) if word not in found]
