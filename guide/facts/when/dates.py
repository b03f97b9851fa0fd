"""Reading a *when*: the one door to `edtf`, `word_dates` and `whens` for whoever has a text."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from guide.facts.text.problem import Problem
from guide.facts.values import Text, When
from guide.facts.when.numbers import number_table
from guide.facts.when.whens import read_day, read_when_text
from guide.finding import Place

if TYPE_CHECKING:
    from guide.facts.types import Series

__all__ = ["read_day", "read_when"]


def read_when(
    text: str,
    *,
    series: Mapping[str, Series] | None = None,
    names: Collection[str] = (),
    overrides: Mapping[str, float] | None = None,
    place: Place | None = None,
) -> When | Problem:
    """Return what a text says of when, or a `Problem` with a finding's code, message and mend.

    ``series`` are the guide's number series, ``names`` the ids that ``start of`` and ``end of`` may name,
    ``overrides`` the guide's own constants. The place is the text's own when it has one.
    """
    where = place or (text.place if isinstance(text, Text) else Place("", 1, 1))
    return read_when_text(text, where, number_table(series or {}), names, overrides or {})
