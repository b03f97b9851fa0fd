"""What of the facts can be computed with: all but where a thing stands and what is written about it in Markdown.

Where two guides are alike in this, whatever is worked out from one without looking at places and texts is right for
the other. Most saves in a preview change words and no dates.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from guide.finding import Place

__all__ = ["MARKDOWN", "bones"]

MARKDOWN = frozenset(
    {"about", "taken_for", "wear", "to_be_had", "caution", "tell", "means", "cause", "prevention", "repair", "cautions"}
)


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def bones(thing: Any) -> Any:
    """Return facts, or what was worked out from them, as plain tuples to be compared, places and Markdown left out."""
    if isinstance(thing, str) or thing is None:
        return thing
    if isinstance(thing, tuple | list):
        return tuple(map(bones, thing))
    if isinstance(thing, Mapping):
        return tuple((key, bones(value)) for key, value in thing.items())
    if isinstance(thing, Place):
        return None
    if is_dataclass(thing) and not isinstance(thing, type):
        found: list[Any] = [type(thing)]
        for name in _names(type(thing)):
            value = getattr(thing, name)
            found.append(None if name in MARKDOWN and isinstance(value, str) else bones(value))
        return tuple(found)
    return thing
