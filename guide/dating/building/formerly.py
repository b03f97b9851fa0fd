"""The ids by which marks and forms went before: answers that name them are still read."""

from __future__ import annotations

from typing import Any

from guide.facts.types import Guide

__all__ = ["former_answers"]


def former_answers(guide: Guide) -> dict[str, dict[str, Any]]:
    """Return the present id by each old one: ``marks``, and ``forms`` by their mark; without those of which none is."""
    whole = {
        name: {old: one.id for one in records.values() for old in one.formerly}
        for name, records in (("body", guide.series), ("interior", guide.interiors))
    }
    found: dict[str, dict[str, Any]] = {
        "marks": {old: mark.id for mark in guide.marks.values() for old in mark.formerly},
        "forms": {
            mark.id: former
            for mark in guide.marks.values()
            if (former := {old: form.id for form in mark.forms.values() for old in form.formerly})
        }
        | {name: former for name, former in whole.items() if former},
    }
    return {name: old for name, old in found.items() if old}
