"""Which cars something speaks of: `for: {hand: left}`, or a word that only one split or series has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from guide.facts.records.fields import Reader, is_blank, shape_of
from guide.facts.text.desk import Desk
from guide.facts.text.problem import nearest
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import Scope, Text

__all__ = ["dimensions", "join_scopes", "make_scope", "scope"]


def dimensions(desk: Desk) -> Mapping[str, tuple[str, ...] | None]:
    """Return each dimension a scope may name with its values; None for values that could not be read."""
    splits = desk.splits or {}
    return {
        **{split.id: tuple(split.values) for split in splits.values()},
        "series": _ordered(desk) if desk.series_complete else None,
        "interior": None if desk.interiors is None else tuple(desk.interiors),
    }


def _ordered(desk: Desk) -> tuple[str, ...]:
    """Return the series that tell one car from another: a second kind of number is on all of them."""
    return tuple(one.id for one in desk.series.values() if one.gives_build_order)


def make_scope(parts: Mapping[str, Sequence[str]], desk: Desk) -> Scope:
    """Return a scope with its values in the guide's order."""
    known = dimensions(desk)
    made = []
    for dimension in sorted(parts):
        order = known.get(dimension) or tuple(parts[dimension])
        made.append(
            (dimension, tuple(value for value in order if value in parts[dimension]) or tuple(parts[dimension]))
        )
    return Scope(tuple(made))


def join_scopes(outer: Scope, inner: Scope) -> Scope:
    """Return what both say; where both name a dimension the inner one counts."""
    return Scope(tuple(sorted((dict(outer.parts) | dict(inner.parts)).items())))


def _read_scope(node: Node, desk: Desk) -> Scope | None:
    if isinstance(node, Keyed):
        return _read_keyed(node, desk)
    words = node.items if isinstance(node, Items) else (node,)
    parts: dict[str, list[str]] = {}
    for word in words:
        if not isinstance(word, Text):
            desk.say(
                "wrong-shape",
                word.place,
                f"expected a word or `{{hand: left}}`, found {shape_of(word)}",
                "write it as {hand: left} or {series: coupe}",
            )
            return None
        found = [dimension for dimension, values in dimensions(desk).items() if word in (values or ())]
        if len(found) != 1:
            if desk.splits is None or None in dimensions(desk).values():
                return None  # what is missing has its own finding
            _unknown_word(word, found, desk)
            return None
        parts.setdefault(found[0], []).append(str(word))
    return make_scope(parts, desk)


def _unknown_word(word: Text, found: Sequence[str], desk: Desk) -> None:
    known = [value for values in dimensions(desk).values() for value in values or ()]
    near = nearest(word, known)
    if found:
        desk.say(
            "unknown-scope",
            word.place,
            f"{str(word)!r} is a value of {' and of '.join(found)}",
            f"say which is meant, as {{{found[0]}: {word}}}",
        )
    else:
        desk.say(
            "unknown-scope",
            word.place,
            f"expected a value of a split, a number series or an interior, found {str(word)!r}",
            f"write {near}" if near else "write it as {hand: left}, with values that guide.yml names",
        )


def _read_keyed(node: Keyed, desk: Desk) -> Scope | None:
    known = dimensions(desk)
    parts: dict[str, list[str]] = {}
    whole = True
    for dimension, value in node.pairs:
        if dimension not in known:
            if desk.splits is not None:
                near = nearest(dimension, known)
                desk.say(
                    "unknown-scope",
                    dimension.place,
                    f"expected a split of guide.yml, `series` or `interior`, found {str(dimension)!r}",
                    f"write {near}" if near else f"use one of {', '.join(known)}",
                )
            whole = False
            continue
        words = value.items if isinstance(value, Items) else (value,)
        for word in words:
            if not isinstance(word, Text) or is_blank(word):
                desk.say(
                    "wrong-shape",
                    word.place,
                    f"expected a value of {dimension}, found {shape_of(word)}",
                    f"write it as {{{dimension}: ...}}",
                )
                whole = False
            elif _is_value(word, dimension, known[dimension], desk):
                parts.setdefault(str(dimension), []).append(str(word))
            else:
                whole = False
    return make_scope(parts, desk) if whole else None


def _is_value(word: Text, dimension: Text, values: tuple[str, ...] | None, desk: Desk) -> bool:
    if values is None or word in values:
        return True
    near = nearest(word, values)
    desk.say(
        "unknown-scope",
        word.place,
        f"expected a value of {dimension}, found {str(word)!r}",
        f"write {near}" if near else f"use one of {', '.join(values)}, or declare it first",
    )
    return False


scope: Reader[Scope] = Reader("cars, as {hand: left} or {series: coupe, market: [home, continent]}", _read_scope)
