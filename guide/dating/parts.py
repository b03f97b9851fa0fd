"""A model in parts, so that what rests on some of them is known to be what it was where only others have changed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from guide.dating.model import Model

__all__ = ["frame_of", "tables_of"]


def frame_of(model: Model) -> Any:
    """Return what stands in a model besides `tables_of` its marks: which marks belong together, too."""
    return replace(model, marks=(), groups=()), [group.marks for group in model.groups]


def tables_of(model: Model) -> list[Any]:
    """Return for each mark all that stands in a model of it, and of the marks that it is computed with: those of its
    group, and those that some job renews with any of them."""
    joined = [set(group.marks) for group in model.groups]
    for one in model.sets:
        met = [marks for marks in joined if not marks.isdisjoint(one.marks)]
        joined = [marks for marks in joined if marks.isdisjoint(one.marks)] + [set(one.marks).union(*met)]
    found: list[Any] = [None] * len(model.marks)
    for marks in joined:
        groups = [group for group in model.groups if not marks.isdisjoint(group.marks)]
        told = [model.marks[mark] for mark in sorted(marks)], groups
        for mark in marks:
            found[mark] = told
    return found
