"""A dumped model read back into what it was, as tests want it that write models by hand."""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Mapping
from functools import cache
from typing import Any

from guide.dating.model import FORMAT, Model

__all__ = ["load_model"]


def load_model(text: str) -> Model:
    """Return the model that `dump_model` wrote."""
    raw = json.loads(text)
    assert raw["format"] == FORMAT
    kinds = raw.pop("kinds", [])
    for entry in (one for mark in raw["marks"] for form in mark["forms"] for one in form.get("fitted", ())):
        if "on" in entry:
            entry["on"] = kinds[entry["on"]]
    model = _typed(Model, raw)
    assert isinstance(model, Model)
    return model


@cache
def _hints(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _typed(kind: Any, raw: Any) -> Any:
    """Turn JSON back into the declared types: tuples for lists, floats where floats are meant."""
    if dataclasses.is_dataclass(kind):
        assert isinstance(kind, type)
        hints = _hints(kind)
        return kind(**{name: _typed(hints[name], item) for name, item in raw.items()})
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple:
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(_typed(inner[0], item) for item in raw)
        return tuple(_typed(one, item) for one, item in zip(inner, raw, strict=True))
    if origin in (Mapping, typing.get_origin(Mapping[str, str])):
        return {key: _typed(inner[1], item) for key, item in raw.items()}
    if origin in (types.UnionType, typing.Union):
        if raw is None or isinstance(raw, int):
            return raw
        return _typed(next(one for one in inner if one not in (int, type(None))), raw)
    return float(raw) if kind is float else raw
