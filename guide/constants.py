"""Every default in one table: its value, unit, source, and how a guide overrides it.

The table in DEVELOPERS.md and the page "How we know" are printed from here. A guide overrides a value in
guide.yml under `defaults:`, a mark with a field of its own where `per_mark` names one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["CONSTANTS", "Constant", "value_of"]


@dataclass(frozen=True, slots=True)
class Constant:
    """One default. ``unit`` in words; ``source`` names where the value is from, or says that it has none."""

    value: float
    unit: str
    meaning: str
    source: str
    per_mark: str = ""       # the mark's field that overrides it, if any


COMMON = "common practice, no source"

CONSTANTS: dict[str, Constant] = {}


def value_of(name: str, overrides: Mapping[str, float]) -> float:
    """Return a default, or what the guide says instead. Raises KeyError for a name not in the table."""
    return overrides.get(name, CONSTANTS[name].value)
