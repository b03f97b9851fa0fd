"""Which cars something speaks of: `for: {hand: left}`, or a word that only one split or series has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from guide.facts.records.fields import Reader, is_blank, shape_of
from guide.facts.text.desk import Desk
from guide.facts.text.problem import nearest, write
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.values import Scope, Text
from guide.sentence import all_of, listed, sentence

__all__ = ["cars", "dimensions", "join_scopes"]


def dimensions(desk: Desk) -> Mapping[str, tuple[str, ...] | None]:
    """Return each dimension a scope may name with its values; None for values that could not be read.

    A second kind of number is on all cars, so only the series that give a build order tell one from another.
    """
    ordered = tuple(one.id for one in desk.series.values() if one.gives_build_order)
    return {
        **{split.id: tuple(split.values) for split in (desk.splits or {}).values()},
        "series": ordered if desk.series_complete else None,
        "interior": None if desk.interiors is None else tuple(desk.interiors),
    }


def _make_scope(parts: Mapping[str, Sequence[str]], desk: Desk) -> Scope:
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
            desk.find(
                "facts.wrong-shape.scope",
                word.place,
                found=shape_of(word),
                by_split="{hand: left}",
                by_series="{series: coupe}",
            )
            return None
        found = [dimension for dimension, values in dimensions(desk).items() if word in (values or ())]
        if len(found) != 1:
            if desk.splits is None or None in dimensions(desk).values():
                return None  # what is missing has its own finding
            _unknown_word(word, found, desk)
            return None
        parts.setdefault(found[0], []).append(str(word))
    return _make_scope(parts, desk)


def _unknown_word(word: Text, found: Sequence[str], desk: Desk) -> None:
    typed = repr(word)
    if found:
        example = f"{{{found[0]}: {word}}}"
        splits = all_of(sentence("facts.found.of", split=one) for one in found)
        desk.find("facts.unknown-scope.ambiguous", word.place, found=typed, splits=splits, example=example)
        return
    near = write(nearest(word, [value for values in dimensions(desk).values() for value in values or ()]))
    desk.find("facts.unknown-scope", word.place, put_right=near, found=typed, example="{hand: left}")


def _read_keyed(node: Keyed, desk: Desk) -> Scope | None:
    known = dimensions(desk)
    parts: dict[str, list[str]] = {}
    whole = True
    for dimension, value in node.pairs:
        if dimension not in known:
            if desk.splits is not None:
                desk.find(
                    "facts.unknown-scope.dimension",
                    dimension.place,
                    put_right=write(nearest(dimension, known)),
                    found=repr(dimension),
                    known=listed(known),
                )
            whole = False
            continue
        for word in value.items if isinstance(value, Items) else (value,):
            if not isinstance(word, Text) or is_blank(word):
                example = f"{{{dimension}: ...}}"
                found = shape_of(word)
                desk.find("facts.wrong-shape.value", word.place, split=str(dimension), found=found, example=example)
                whole = False
            elif _is_value(word, dimension, known[dimension], desk):
                parts.setdefault(str(dimension), []).append(str(word))
            else:
                whole = False
    return _make_scope(parts, desk) if whole else None


def _is_value(word: Text, dimension: Text, values: tuple[str, ...] | None, desk: Desk) -> bool:
    if values is None or word in values:
        return True
    desk.find(
        "facts.unknown-scope.value",
        word.place,
        put_right=write(nearest(word, values)),
        split=str(dimension),
        found=repr(word),
        known=listed(values),
    )
    return False


cars: Reader[Scope] = Reader(
    sentence("facts.shape.scope", by_split="{hand: left}", by_series="{series: coupe, market: [home, continent]}"),
    _read_scope,
)
