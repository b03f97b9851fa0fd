"""Whens as tests read them: from a plain text, with the series of a guide."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from guide.facts.text.problem import Problem
from guide.facts.types import Series, Text, When
from guide.facts.when import whens
from guide.facts.when.numbers import number_table
from guide.finding import Place

__all__ = ["read_when"]


def read_when(
    text: str,
    *,
    series: Mapping[str, Series] | None = None,
    names: Collection[str] = (),
    overrides: Mapping[str, float] | None = None,
    model_years: Collection[str] | None = None,
) -> When | Problem:
    """Return what a text that stands nowhere says of when."""
    return whens.read_when(Text(text, Place("")), number_table(series or {}), names, overrides, model_years)
