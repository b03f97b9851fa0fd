"""What is read while something is worked out: every reading of certain fields of records is noted.

So a page can be kept from one run to the next by what it read (`guide.press.printed`): nobody declares it, and a page
that begins to show something else needs no line anywhere. Noted are texts in Markdown, statements, what follows from
them, and what was answered to a `Question`. What several pages share and is worked out once passes on its readings to
each of them (`remembered`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, MutableMapping
from contextvars import ContextVar
from typing import Any, Generic, NamedTuple, TypeVar, overload

__all__ = [
    "MARKDOWN",
    "NOTED",
    "NotedField",
    "Question",
    "Reading",
    "Readings",
    "answering",
    "note",
    "note_all",
    "note_fields",
    "noting",
    "remembered",
    "resting",
    "worked_out",
]

MARKDOWN = frozenset(
    {"about", "taken_for", "wear", "to_be_had", "caution", "tell", "means", "cause", "prevention", "repair", "cautions"}
)
NOTED: dict[type, tuple[str, ...]] = {}  # by class, the fields besides texts in Markdown whose readings are noted

# by a record's identity and the field: the record, so that it lives on; by a question: the digest of its answer
Readings = dict[Any, Any]
Reading = tuple[Any, str]  # a record, and the field
_NOTED: ContextVar[Readings | None] = ContextVar("noted", default=None)
Found = TypeVar("Found")


class Question(NamedTuple):
    """What was asked, where the answer counts and not what it was found from: who answers, by name, of what."""

    who: str
    of: tuple[Any, ...]


class noting:  # noqa: N801  (used as a function is)
    """Note what is read within; what lies around it notes the same."""

    __slots__ = ("_token", "read")

    def __enter__(self) -> Readings:
        self.read: Readings = {}
        self._token = _NOTED.set(self.read)
        return self.read

    def __exit__(self, *_: object) -> None:
        _NOTED.reset(self._token)
        note_all(self.read)


class answering(noting):  # noqa: N801
    """Note of what is read within the texts alone."""

    __slots__ = ()

    def __exit__(self, *_: object) -> None:
        _NOTED.reset(self._token)
        note_all({reading: of for reading, of in self.read.items() if reading[1] in MARKDOWN})


class resting(noting):  # noqa: N801
    """Note of what is read within no field of some names: whoever says so notes what is looked at there."""

    __slots__ = ("_names",)

    def __init__(self, *names: str) -> None:
        self._names = names

    def __exit__(self, *_: object) -> None:
        _NOTED.reset(self._token)
        note_all({reading: of for reading, of in self.read.items() if reading[1] not in self._names})


def note(question: Question, answer: Callable[[], str]) -> None:
    """Note that something was asked, with the digest of its answer."""
    noted = _NOTED.get()
    if noted is not None and question not in noted:
        noted[question] = answer()


def note_all(read: Mapping[Any, Any]) -> None:
    """Note that all of this was read."""
    noted = _NOTED.get()
    if noted is not None:
        noted.update(read)


def remembered(known: MutableMapping[Any, Any], key: Any, work: Callable[[], Found]) -> Found:
    """Return what was worked out once; what was read for it is noted anew for everybody who asks."""
    held = known.get(key)
    if held is None:
        with noting() as read:
            found = work()
        held = known[key] = found, read
    elif held[1]:
        note_all(held[1])
    return held[0]


class worked_out(Generic[Found]):  # noqa: N801  (used as a decorator)
    """What follows from a record's fields, worked out when it is first asked for and `remembered` with the record."""

    def __init__(self, work: Callable[[Any], Found]) -> None:
        self._work, self._kept_as = work, f"{work.__name__}.worked_out"
        self.__doc__ = work.__doc__

    @overload
    def __get__(self, record: None, kind: type) -> worked_out[Found]: ...
    @overload
    def __get__(self, record: object, kind: type) -> Found: ...
    def __get__(self, record: Any, kind: type) -> Any:
        if record is None:
            return self
        return remembered(vars(record), self._kept_as, lambda: self._work(record))


class _Held:
    """Where a class that has no slots holds a field."""

    __slots__ = ("_name",)

    def __init__(self, name: str) -> None:
        self._name = name

    def __get__(self, record: Any, kind: type | None = None) -> Any:
        return vars(record)[self._name]

    def __set__(self, record: Any, value: Any) -> None:
        vars(record)[self._name] = value


class NotedField:
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

    def unnoted(self, record: Any) -> Any:
        return self._slot.__get__(record)

    def __set__(self, record: Any, value: Any) -> None:
        self._slot.__set__(record, value)


def note_fields(kind: type[Any], names: Iterable[str]) -> None:
    """Have every reading of some fields of a class noted."""
    for name in names:
        setattr(kind, name, NotedField(name, vars(kind).get(name) or _Held(name)))
    NOTED[kind] = tuple(name for name in names if name not in MARKDOWN)
