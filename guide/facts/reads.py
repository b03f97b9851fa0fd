"""Which texts in Markdown are read while something is worked out: every reading of such a field of a record is noted.

So a page can be kept from one run to the next by what it read (`guide.press.printed`): nobody declares it, and a page
that begins to show another text needs no line anywhere. What several pages share and is worked out once passes on its
readings to each of them (`guide.pages.shelf.once`).
"""

from __future__ import annotations

from collections.abc import Mapping
from contextvars import ContextVar
from typing import Any

from guide.facts.bones import MARKDOWN

__all__ = ["Readings", "note_texts", "noting", "pass_on"]

Readings = dict[tuple[int, str], Any]  # the record by its identity, and the field; the record, so that it lives on
_NOTED: ContextVar[Readings | None] = ContextVar("noted", default=None)


class noting:  # noqa: N801  (used as a function is)
    """Note what is read within; what lies around it notes the same."""

    __slots__ = ("_token", "read")

    def __enter__(self) -> Readings:
        self.read: Readings = {}
        self._token = _NOTED.set(self.read)
        return self.read

    def __exit__(self, *_: object) -> None:
        _NOTED.reset(self._token)
        pass_on(self.read)


def pass_on(read: Mapping[tuple[int, str], Any]) -> None:
    """Note once more what was read when something was worked out that is now used again."""
    noted = _NOTED.get()
    if noted is not None:
        noted.update(read)


class _Noted:
    """A field whose every reading is noted, in place of the slot that holds it."""

    __slots__ = ("_name", "_slot")

    def __init__(self, name: str, slot: Any) -> None:
        self._name, self._slot = name, slot

    def __get__(self, record: Any, kind: type | None = None) -> Any:
        if record is None:
            return self
        noted = _NOTED.get()
        if noted is not None:
            noted[id(record), self._name] = record
        return self._slot.__get__(record, kind)

    def __set__(self, record: Any, value: Any) -> None:
        self._slot.__set__(record, value)


def note_texts(kind: type[Any]) -> None:
    """Have every reading of a class's texts in Markdown noted; the class keeps its fields in slots."""
    for name in MARKDOWN.intersection(vars(kind)):
        setattr(kind, name, _Noted(name, vars(kind)[name]))
