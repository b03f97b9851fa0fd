"""Which cars something speaks of: `for: {hand: left}`, or a word that only one split or series has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from guide.facts.records.fields import Reader
from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import write
from guide.facts.text.source import Keyed, Node, members_of
from guide.facts.values import Scope, Text
from guide.facts.when.numbers import of_first_kind
from guide.sentence import all_of, listed, sentence

__all__ = ["cars", "dimensions", "join_scopes", "own_series"]

_Dimensions = Mapping[str, tuple[str, ...] | None]


def dimensions(desk: Desk) -> _Dimensions:
    """Return each dimension a scope may name with its values; None for values that could not be read.

    A second kind of number is on all cars, so only the series that give a build order tell one from another.
    """
    ordered = tuple(one.id for one in of_first_kind(desk.series).values() if one.gives_build_order)
    return {
        **{split.id: tuple(split.values) for split in (desk.splits or {}).values()},
        "series": ordered if desk.series_complete else None,
        "interior": desk.ids.get("interiors"),
    }


def join_scopes(outer: Scope, inner: Scope) -> Scope:
    """Return what both say; where both name a dimension the inner one counts."""
    return Scope(tuple(sorted((dict(outer.parts) | dict(inner.parts)).items())))


def _read_scope(node: Node, desk: Desk) -> Scope | None:
    """Return a scope with its values in the guide's order; None with a finding for each word that means no cars."""
    known = dimensions(desk)
    read = _of_keys(node, known, desk) if isinstance(node, Keyed) else _of_words(node, known, desk)
    parts: dict[str, list[str]] = {}
    whole = True
    for one in read:
        if one is None:
            whole = False
        else:
            parts.setdefault(one[0], []).append(one[1])
    if not whole:
        return None
    ordered = {dimension: known[dimension] or dict.fromkeys(values) for dimension, values in parts.items()}
    return Scope(tuple((name, tuple(one for one in ordered[name] if one in parts[name])) for name in sorted(parts)))


def _of_words(node: Node, known: _Dimensions, desk: Desk) -> Iterator[tuple[str, str] | None]:
    """Yield the dimension and the value that each word means, None where it means no one value."""
    for word in members_of(node):
        if not isinstance(word, Text):
            desk.refuse("facts.wrong-shape.scope", word, by_split="{hand: left}", by_series="{series: coupe}")
            yield None
            continue
        found = [dimension for dimension, values in known.items() if word in (values or ())]
        if len(found) == 1:
            _note(found[0], word, desk)
        elif desk.splits is not None and None not in known.values():
            _unknown_word(word, found, known, desk)  # else what is missing has its own finding
        yield (found[0], str(word)) if len(found) == 1 else None


def _note(dimension: str, word: Text, desk: Desk) -> None:
    """Note a reference where a value is the id of a record of its own."""
    if dimension in ("series", "interior"):
        desk.refer_to(dimension, word, word.place)


def _unknown_word(word: Text, found: Sequence[str], known: _Dimensions, desk: Desk) -> None:
    if found:
        splits = all_of(sentence("facts.found.of", split=one) for one in found)
        desk.refuse("facts.unknown-scope.ambiguous", word, splits=splits, example=f"{{{found[0]}: {word}}}")
    else:
        meant = desk.meant(word, [value for values in known.values() for value in values or ()])
        desk.refuse("facts.unknown-scope", word, put_right=meant, example="{hand: left}")


def _of_keys(node: Keyed, known: _Dimensions, desk: Desk) -> Iterator[tuple[str, str] | None]:
    """Yield each dimension with each of its values, None where one is not known."""
    for dimension, value in node.pairs:
        if dimension not in known:
            if desk.splits is not None:
                name, equals, named = (one.strip() for one in dimension.partition("="))
                near = write(f"{name}: {named}" if equals and name in known else nearest(dimension, known))
                desk.refuse("facts.unknown-scope.dimension", dimension, put_right=near, known=listed(known))
            yield None
            continue
        values, split = known[dimension], str(dimension)
        for word in members_of(value):
            if isinstance(word, Text) and word and (values is None or word in values):
                _note(split, word, desk)
                yield split, str(word)
                continue
            if not isinstance(word, Text) or not word:
                desk.refuse("facts.wrong-shape.value", word, split=split, example=f"{{{dimension}: ...}}")
            elif values is not None:
                meant = desk.meant(word, values)
                desk.refuse("facts.unknown-scope.value", word, put_right=meant, split=split, known=listed(values))
            yield None


cars: Reader[Scope] = Reader(
    sentence("facts.shape.scope", by_split="{hand: left}", by_series="{series: coupe, market: [home, continent]}"),
    _read_scope,
)


def _own_series(node: Node, desk: Desk) -> tuple[str, ...] | None:
    """Return the series of a scope that names nothing else; None with a finding where it does."""
    scope = _read_scope(node, desk)
    if scope is None:
        return None
    if [dimension for dimension, _ in scope.parts] != ["series"]:
        desk.refuse("facts.wrong-shape.own-series", node, example="{series: van}")
        return None
    return scope.values("series")


own_series: Reader[tuple[str, ...]] = Reader(sentence("facts.shape.own-series", example="{series: van}"), _own_series)
