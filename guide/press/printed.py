"""Pages and files of a site that are not made anew, because nothing that they read has changed since the last time.

What a page is made from is the program, the theme and the pictures; the facts, places and texts left out
(`guide.facts.bones`); and of the texts those that it read (`guide.facts.reads`). Where all of these are what they were,
the page is what it was, and is taken out of the folder in which the guide was published, if it is still there byte for
byte but for the edition's mark. A page with something wrong in it is never kept, because a finding names a line.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Container, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from guide.facts.bones import Outline
from guide.facts.reads import Readings, noting
from guide.press.offline import EDITION, mark_of, unmarked

__all__ = ["Printed", "Reprint"]


@dataclass(frozen=True, slots=True)
class _Made:
    """What was made together: the texts that were read for it, by number, the other files of the site that it rests on,
    and its own files, each with its digest."""

    texts: tuple[tuple[int, str], ...]
    rests_on: tuple[tuple[str, str], ...]
    files: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Printed:
    """What was made of a guide, by name."""

    made: dict[str, _Made] = field(default_factory=dict)


class Reprint:
    """Gives what need not be made anew, and remembers what was made.

    ``before`` was printed of a guide of the same bones, with the same theme and pictures; ``out`` is where it stands.
    """

    def __init__(self, outline: Outline, before: Printed | None, out: Path) -> None:
        self.outline = outline
        self._before = {} if before is None else before.made
        self._out = out
        self._mark = _mark_in(out)
        self.printed = Printed()

    @property
    def knows_any(self) -> bool:
        """Whether there is anything that may not have to be made anew."""
        return bool(self._before)

    def of(
        self,
        name: str,
        make: Callable[[], Mapping[str, bytes]],
        faults: Callable[[], int] = lambda: 0,
        *,
        site: Mapping[str, bytes] = MappingProxyType({}),
        used: Container[str] = (),
    ) -> Mapping[str, bytes]:
        """Return some files, made now by ``make`` if they must be; ``faults`` counts what was found wrong so far.

        ``used``: once it was made, the files of the ``site`` that it rests on.
        """
        before = self._before.get(name)
        found = None if before is None else self._read(before, site)
        if found is not None and before is not None:
            self.printed.made[name] = before
            return found
        count = faults()
        with noting() as read:
            files = make()
        texts = self._numbered(read)
        if texts is not None and faults() == count:
            rests_on = [(path, _digest(data)) for path, data in site.items() if path in used]
            made = [(path, _digest(data)) for path, data in files.items()]
            self.printed.made[name] = _Made(texts, tuple(rests_on), tuple(made))
        return files

    def _numbered(self, read: Readings) -> tuple[tuple[int, str], ...] | None:
        """Return the numbers and digests of the texts that were read; None where one is not of the guide."""
        numbers = [self.outline.numbers.get(reading) for reading in read]
        if None in numbers:
            return None
        return tuple((number, self.outline.texts[number]) for number in sorted({n for n in numbers if n is not None}))

    def _read(self, before: _Made, site: Mapping[str, bytes]) -> dict[str, bytes] | None:
        """Return what was made then, where all that it rests on is what it was and it is still there; else None."""
        if any(self.outline.texts[number] != digest for number, digest in before.texts):
            return None
        if any(path not in site or _digest(site[path]) != digest for path, digest in before.rests_on):
            return None
        found: dict[str, bytes] = {}
        for path, digest in before.files:
            try:
                found[path] = unmarked(path, (self._out / path).read_bytes(), self._mark)
            except OSError:
                return None
            if _digest(found[path]) != digest:
                return None
        return found


def _mark_in(out: Path) -> str:
    """Return the mark of the site in a folder, or nothing."""
    try:
        return mark_of({EDITION: (out / EDITION).read_bytes()})
    except OSError:
        return ""


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
