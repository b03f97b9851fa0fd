"""What was worked out in an earlier run and rests on nothing that is otherwise now: it need not be asked for again.

All that is noted when it is read (`guide.facts.reads`) is a numbered part of the guide (`guide.facts.bones`). What was
read while something was worked out is kept with it, and it holds where none of these parts is another. Where it is
worked out of each mark apart, only marks whose own parts are others are asked for anew. What is read and noted nowhere
is the same in all runs that share what is kept, and what rests on a text is never kept.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple, TypeVar
from zlib import compress, decompress

from guide.facts.reads import MARKDOWN, Question, Reading, Readings, note_all, noting

__all__ = ["Recall", "Recalled", "recalled", "recalled_of_each", "recalling", "the_recall", "unpacked"]

Found = TypeVar("Found")


class _Worked(NamedTuple):
    """What was found, and the numbers of the parts that were read for it.

    Of each mark: ``found`` is all of it, packed, and ``each`` the numbers of the marks' own parts.
    """

    parts: tuple[int, ...]
    found: Any
    each: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Recalled:
    """What was worked out of a guide, by what was asked."""

    worked: dict[Question, _Worked] = field(default_factory=dict)


class Recall:
    """Gives what need not be worked out anew, and remembers what was worked out.

    ``numbers`` are those of all parts, ``other`` of those that are not what they were when what ``before`` returns was
    kept.
    """

    def __init__(
        self,
        numbers: Mapping[tuple[int, str], int],
        other: frozenset[int],
        before: Callable[[], Recalled | None] | None = None,
    ) -> None:
        self._numbers, self._other, self._load = numbers, other, before
        self._readings = {number: reading for reading, number in numbers.items()}
        self._texts = {number for (_, name), number in numbers.items() if name in MARKDOWN}
        self._alike: dict[tuple[int, ...], tuple[int, ...]] = {}  # many rest on the very same
        self.new: dict[Question, _Worked] = {}

    @cached_property
    def _before(self) -> Mapping[Question, _Worked]:
        before = None if self._load is None else self._load()
        return {} if before is None else before.worked

    @property
    def now(self) -> Recalled:
        """All that holds now."""
        held = {
            question: one
            for question, one in self._before.items()
            if self._other.isdisjoint(one.parts) and self._other.isdisjoint(one.each)
        }
        return Recalled(held | self.new)

    def held(self, question: Question) -> _Worked | None:
        """Return what was found in an earlier run and holds; None where there is nothing."""
        one = self._before.get(question)
        return one if one is not None and self._other.isdisjoint(one.parts) else None

    def note(self, one: _Worked) -> None:
        """Note that what was found was read, and so what it rests on."""
        note_all({self._readings[number]: None for number in one.parts})

    def keep(self, question: Question, read: Readings, found: Any) -> None:
        """Remember what was found, unless it rests on a text, or on what is no part of the guide; where no more than
        texts are other, that is known already."""
        settled = self._load is not None and self._other <= self._texts
        parts = None if settled else self.parts_of(read)
        if parts is not None:
            self.new[question] = _Worked(parts, found)

    def parts_of(self, read: Readings) -> tuple[int, ...] | None:
        """Return the numbers of what was read, that of an answer's instead of it; None where it cannot be kept."""
        found = {*map(self._numbers.get, read)}
        if not self._texts.isdisjoint(found):
            return None
        for question in (reading for reading in read if reading not in self._numbers):
            answer = (self.new.get(question) or self.held(question)) if isinstance(question, Question) else None
            if answer is None:
                return None
            found.update(answer.parts, answer.each)
        parts = tuple(sorted(one for one in found if one is not None))
        return self._alike.setdefault(parts, parts)

    def numbers_of(self, readings: Iterable[Reading]) -> tuple[int, ...]:
        """Return the numbers of some parts. Raises KeyError of what is none."""
        numbers = tuple(self._numbers[id(record), name] for record, name in readings)
        return self._alike.setdefault(numbers, numbers)

    def others(self, numbers: Sequence[int]) -> list[int]:
        """Return which of some parts are not what they were."""
        return [at for at, number in enumerate(numbers) if number in self._other]


_RECALL: ContextVar[Recall | None] = ContextVar("recall", default=None)


@contextmanager
def recalling(recall: Recall | None) -> Iterator[None]:
    """Have what is asked for within recalled."""
    token = _RECALL.set(recall)
    try:
        yield
    finally:
        _RECALL.reset(token)


def the_recall() -> Recall | None:
    """Return what recalls now; None where nothing does."""
    return _RECALL.get()


def recalled(question: Question, work: Callable[[], Found]) -> Found:
    """Return what is found, recalled where it holds."""
    recall = _RECALL.get()
    if recall is None:
        return work()
    held = recall.held(question)
    if held is not None:
        recall.note(held)
        return held.found  # type: ignore[no-any-return]
    with noting() as read:
        found = work()
    recall.keep(question, read, found)
    return found


def unpacked(found: bytes) -> Any:
    """Return what was found of each mark."""
    return pickle.loads(decompress(found))


def recalled_of_each(
    question: Question,
    rest: Sequence[Reading],
    each: Sequence[Reading],
    work: Callable[[Sequence[int]], Sequence[Found]],
) -> Sequence[Found]:
    """Return what is found of each of some marks, that of a mark recalled where its own part holds (``each``) and so
    does what all rest on. ``work`` is given which of them are asked for."""
    recall, question = _RECALL.get(), Question(f"{question.who}.each", question.of)
    note_all({(id(record), name): record for record, name in (*rest, *each)})
    if recall is None:
        return work(range(len(each)))
    held, numbers = recall.held(question), recall.numbers_of(each)
    if held is None or held.each != numbers:
        found, left = list[Found](), list(range(len(each)))
    else:
        found, left = unpacked(held.found), recall.others(numbers)
    if left or held is None:
        if len(left) == len(each):
            found = list(work(left))
        else:
            for at, one in zip(left, work(left), strict=True):
                found[at] = one
        packed = compress(pickle.dumps(found, pickle.HIGHEST_PROTOCOL), 1)  # a third: in a large guide they are many
        recall.new[question] = _Worked(recall.numbers_of(rest), packed, numbers)
    return found
