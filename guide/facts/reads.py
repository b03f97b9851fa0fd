"""What is read while something is worked out: every reading of certain fields of records is noted.

So a page can be kept from one run to the next by what it read (`guide.press.printed`): nobody declares it, and a page
that begins to show something else needs no line anywhere. Noted are texts in Markdown, statements, what follows from
them, and what was answered to a `Question`. What several pages share and is worked out once passes on its readings to
each of them (`remembered`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, MutableMapping
from contextvars import ContextVar
from typing import Any, NamedTuple, TypeVar

__all__ = [
    "MARKDOWN",
    "NOTED",
    "NotedField",
    "Question",
    "Readings",
    "answering",
    "note",
    "note_fields",
    "noting",
    "remembered",
]

MARKDOWN = frozenset(
    {"about", "taken_for", "wear", "to_be_had", "caution", "tell", "means", "cause", "prevention", "repair", "cautions"}
)
NOTED: dict[type, tuple[str, ...]] = {}  # by class, the fields besides texts in Markdown whose readings are noted

# by a record's identity and the field: the record, so that it lives on; by a question: the digest of its answer
Readings = dict[Any, Any]
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
        _pass_on(self.read)


class answering(noting):  # noqa: N801
    """Note of what is read within the texts alone."""

    __slots__ = ()

    def __exit__(self, *_: object) -> None:
        _NOTED.reset(self._token)
        _pass_on({reading: of for reading, of in self.read.items() if reading[1] in MARKDOWN})


def note(question: Question, answer: Callable[[], str]) -> None:
    """Note that something was asked, with the digest of its answer."""
    noted = _NOTED.get()
    if noted is not None and question not in noted:
        noted[question] = answer()


def _pass_on(read: Mapping[Any, Any]) -> None:
    noted = _NOTED.get()
    if noted is not None:
        noted.update(read)


def remembered(known: MutableMapping[Any, Any], key: Any, work: Callable[[], Found]) -> Found:
    """Return what was worked out once; what was read for it is noted anew for everybody who asks."""
    if key not in known:
        with noting() as read:
            found = work()
        known[key] = found, read
    else:
        _pass_on(known[key][1])
    return known[key][0]  # type: ignore[no-any-return]


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
    """Have every reading of some fields of a class noted; the class keeps its fields in slots."""
    for name in names:
        setattr(kind, name, NotedField(name, vars(kind)[name]))
    NOTED[kind] = tuple(name for name in names if name not in MARKDOWN)
