"""Which plural category a whole number takes, by language: the rules of Unicode CLDR, which browsers have as Intl.

Only languages that somebody may well translate into are here; any other has one form for every number. A test holds
the table to the published rules.
"""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["PLURALS", "plural_category"]

_Rule = Callable[[int], str]
_MILLION = 1_000_000


def _germanic(n: int) -> str:
    return "one" if n == 1 else "other"


def _romance(n: int) -> str:
    return "one" if n == 1 else "many" if n and n % _MILLION == 0 else "other"


def _french(n: int) -> str:
    return "one" if n < 2 else _romance(n)


def _czech(n: int) -> str:
    return "one" if n == 1 else "few" if 2 <= n <= 4 else "other"


def _few_or_many(n: int) -> str:
    return "few" if 2 <= n % 10 <= 4 and not 12 <= n % 100 <= 14 else "many"


def _polish(n: int) -> str:
    return "one" if n == 1 else _few_or_many(n)


def _russian(n: int) -> str:
    return "one" if n % 10 == 1 and n % 100 != 11 else _few_or_many(n)


def _arabic(n: int) -> str:
    if n < 3:
        return ("zero", "one", "two")[n]
    return "few" if 3 <= n % 100 <= 10 else "many" if n % 100 >= 11 else "other"


PLURALS: dict[str, _Rule] = {
    **dict.fromkeys(("en", "de", "nl", "sv", "nb", "fi", "et", "hu", "tr", "bg", "el"), _germanic),
    **dict.fromkeys(("it", "es", "ca"), _romance),
    **dict.fromkeys(("fr", "pt"), _french),
    **dict.fromkeys(("cs", "sk"), _czech),
    "pl": _polish,
    **dict.fromkeys(("ru", "uk"), _russian),
    "ar": _arabic,
}


def plural_category(language: str, n: int) -> str:
    """Return the category of a whole number from nought up, "one", "few", "many"...: "other" in a language not here."""
    rule = PLURALS.get(language)
    return "other" if rule is None else rule(n)
