"""What browsers learned when: the tables that the lint for old engines reads.

A row of features.txt is a feature, then the first versions of Chromium, Firefox and Safari that have it
(``-``: none yet), then, after a bar, what is lost without it where nothing but polish is. The versions are
**from memory of public compatibility data**; none was tried on the old engines themselves. A row that the
oldest engines all have is let through, so raising the oldest engines is one line. What neither a row nor
known.txt names is a complaint too: somebody has to look it up first.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = ["FEATURES", "KNOWN", "OLDEST", "Feature"]

OLDEST = (100.0, 100.0, 15.4)  # Chromium, Firefox, Safari
_HERE = pathlib.Path(__file__).parent
_NEVER = float("inf")


@dataclass(frozen=True, slots=True)
class Feature:
    """A feature of the platform; ``kind`` says where it is looked for, ``loss`` what goes without it."""

    kind: str
    name: str
    since: tuple[float, float, float]
    loss: str = ""

    @property
    def too_new(self) -> bool:
        """Whether one of the oldest engines does not have it."""
        return any(first > oldest for first, oldest in zip(self.since, OLDEST, strict=True))


def _lines(file: str) -> Iterator[tuple[str, str]]:
    """Yield the lines of a table, each with the name of its section."""
    kind = ""
    for line in (_HERE / file).read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            kind = line[1 : line.index("]")]
        elif line and not line.startswith("#"):
            yield kind, line


def _feature(kind: str, line: str) -> Feature:
    facts, _, loss = line.partition("|")
    name, *since = facts.split()
    first, second, third = (_NEVER if version == "-" else float(version) for version in since)
    return Feature(kind, name, (first, second, third), loss.strip())


FEATURES = tuple(_feature(kind, line) for kind, line in _lines("features.txt"))
KNOWN = {
    kind: frozenset(name for other, line in _lines("known.txt") if other == kind for name in line.split())
    for kind, _ in _lines("known.txt")
}
