"""A problem before it has a place: what a reader of text returns instead of a value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from guide.finding import Finding, Place, Related
from guide.sentence import Sentence, Value, sentence

__all__ = ["Problem", "write"]


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a text, and how to put it right."""

    message: Sentence
    put_right: Sentence

    @classmethod
    def of(cls, name: str, /, *, put_right: Sentence | None = None, **values: Value) -> Problem:
        """Return the problem whose sentences are ``name`` and ``name.put-right``, as `Finding.of` has it.

        ``put_right`` stands in place of the second, where the way out does not hang on what is wrong alone.
        """
        said = sentence(name, **values)
        return cls(said, put_right or Sentence(f"{name}.put-right", said.values))

    @property
    def code(self) -> str:
        """The finding's code: the second part of the sentence's id."""
        return self.message.id.split(".")[1]

    def at(self, place: Place, related: Iterable[tuple[Place, Value]] = ()) -> Finding:
        """Return the finding that it is at a place; ``related`` are second places with what stands there."""
        return Finding(self.code, place, self.message, self.put_right, tuple(Related(*one) for one in related))


def write(meant: str | None) -> Sentence | None:
    """Return how to put a misspelt word right; None where nobody knows what was meant."""
    return sentence("facts.write", what=meant) if meant else None
