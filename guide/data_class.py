"""Data classes as in the standard library that cost next to nothing until they are used. Imports nothing of ours.

A program of many small records otherwise spends a third of its start on having their methods compiled. Here a class is
given its ``__init__`` when it is first made; it is compared, hashed and printed by what reads its fields. What is told
of fields (`dataclasses.fields`, `replace`, `is_dataclass`), and what is pickled, is the same.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar

__all__ = ["dataclass"]

T = TypeVar("T")

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(
        kind: type[T] | None = None, /, *, frozen: bool = False, slots: bool = False, kw_only: bool = False
    ) -> Any:
        """Make a class a data class, with the options of `dataclasses.dataclass` that are used here; it is equal to
        another by its fields."""

        def declare(kind: type[T]) -> type[T]:
            return _made(
                dataclasses.dataclass(kind, init=False, repr=False, eq=False, slots=slots, kw_only=kw_only), frozen
            )

        return declare if kind is None else declare(kind)


def _made(made: Any, frozen: bool) -> Any:
    """Return a class of which only the fields are declared with its methods."""
    fields: tuple[Field[Any], ...] = dataclasses.fields(made)
    compared = _getter(one.name for one in fields if one.compare)
    shown = [one.name for one in fields if one.repr]

    def first(self: Any, *given: Any, **named: Any) -> None:
        made.__init__ = _init_of(made, fields, frozen)
        made.__init__(self, *given, **named)

    def equal(self: Any, other: object) -> Any:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    def printed(self: Any) -> str:
        return f"{self.__class__.__qualname__}({', '.join([f'{name}={getattr(self, name)!r}' for name in shown])})"

    made.__init__, made.__eq__, made.__repr__ = first, equal, printed
    made.__hash__ = (lambda self: hash(compared(self))) if frozen else None
    if frozen:
        made.__setattr__, made.__delattr__ = _refuse, _refuse
        if "__slots__" in vars(made):
            made.__getstate__, made.__setstate__ = _state, _set_state
    return made


def _getter(names: Iterable[str]) -> Callable[[Any], Any]:
    """Return what reads some fields, alike for all that are equal."""
    found = tuple(names)
    return attrgetter(*found) if found else lambda _: ()


def _init_of(made: type, fields: Iterable[Field[Any]], frozen: bool) -> Callable[..., None]:
    """Return the ``__init__`` of a class: positions, then keywords, each field set as it is given or by default."""
    known: dict[str, Any] = {"MISSING": MISSING, "set_": object.__setattr__}
    given: tuple[list[str], list[str]] = [], ["*"]
    lines = []
    for one in fields:
        value = one.name
        if one.default is not MISSING:
            known[f"default_{one.name}"] = one.default
            value = f"default_{one.name}" if not one.init else value
        elif one.default_factory is not MISSING:
            known[f"make_{one.name}"] = one.default_factory
            value = f"make_{one.name}()"
            value = f"{value} if {one.name} is MISSING else {one.name}" if one.init else value
        elif not one.init:
            continue
        if one.init:
            default = f"default_{one.name}" if one.default is not MISSING else "MISSING"
            needed = one.default is MISSING and one.default_factory is MISSING
            given[bool(one.kw_only)].append(one.name if needed else f"{one.name}={default}")
        lines.append(f" set_(self, {one.name!r}, {value})" if frozen else f" self.{one.name} = {value}")
    said = ", ".join(["self", *given[0], *(given[1] if len(given[1]) > 1 else ())])
    exec(f"def __init__({said}):\n" + ("\n".join(lines) or " pass"), known)
    init: Callable[..., None] = known["__init__"]
    init.__qualname__ = f"{made.__qualname__}.__init__"
    return init


def _refuse(_: object, name: str, *__: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, one.name) for one in dataclasses.fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for one, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, one.name, value)
