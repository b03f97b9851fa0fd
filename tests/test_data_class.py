"""The program's data classes against those of the standard library, which they stand in for."""

from __future__ import annotations

import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from guide import data_class


class Plain:
    """What a class declares: fields that are needed, have a default, are made anew, are not compared, or not given."""

    one: int
    two: str = "b"
    three: list[int] = dataclasses.field(default_factory=list, compare=False)
    four: int = dataclasses.field(default=4, repr=False)
    five: dict[str, int] = dataclasses.field(default_factory=dict, init=False)


def both(**options: bool) -> tuple[Any, Any]:
    """Return the class as the program makes it, and as the standard library does."""
    kinds = [type("Kind", (), {name: one for name, one in vars(Plain).items() if name[:6] != "__dict"}) for _ in "ab"]
    return data_class.dataclass(**options)(kinds[0]), dataclasses.dataclass(**options)(kinds[1])


def failed(work: Callable[..., object], *given: object, **named: object) -> str:
    """Return what went wrong, but for names of classes; empty where nothing did."""
    try:
        work(*given, **named)
    except TypeError as error:
        return str(error).partition("__init__")[2]
    except dataclasses.FrozenInstanceError as error:
        return str(error)[:6]
    return ""


@pytest.mark.parametrize("kw_only", [False, True])
@pytest.mark.parametrize("slots", [False, True])
@pytest.mark.parametrize("frozen", [False, True])
def test_a_data_class_is_as_the_standard_library_has_it(frozen: bool, slots: bool, kw_only: bool) -> None:
    ours, theirs = both(frozen=frozen, slots=slots, kw_only=kw_only)
    told = []
    for kind in (ours, theirs):
        one, other = kind(one=1), kind(one=1, two="c", three=[3], four=5)
        said: list[Any] = [repr(one), repr(other), one == kind(one=1, three=[9]), one == other, one == "one"]
        said += [dataclasses.asdict(dataclasses.replace(one, two="d")), kind(one=1).three is not one.three]
        said += [hasattr(one, "__dict__"), kind.__match_args__, [each.name for each in dataclasses.fields(one)]]
        said += [failed(kind), failed(kind, 1, "b"), failed(kind, one=1, six=6)]
        said += [failed(setattr, one, "one", 2), failed(delattr, one, "two"), getattr(one, "one", None)]
        said.append(kind.__hash__ is None)
        told.append(said)
    assert told[0] == told[1]


@data_class.dataclass(frozen=True, slots=True)
class Kept:
    """One that can be found by its name."""

    one: int
    two: tuple[int, ...] = ()


def test_a_data_class_is_kept_and_is_equal_when_it_comes_back() -> None:
    one = Kept(1, (2, 3))
    back = pickle.loads(pickle.dumps(one, pickle.HIGHEST_PROTOCOL))
    assert (back, hash(back), len({one, back, Kept(1)})) == (one, hash(one), 2)
