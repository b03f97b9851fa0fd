"""Pages and files of a site that are not made anew, because nothing that they read has changed since the last time.

What a page is made from is the program, the theme and the pictures; the facts, of which places, texts and statements
are left out (`guide.facts.bones`); and of these, of what follows from them, and of what is answered to questions, what
it read (`guide.facts.reads`). Where all of this is what it was, the page is what it was, and is taken out of the folder
in which the guide was published, if it is still there byte for byte but for the edition's mark. A page with something
wrong in it is never kept, because a finding names a line. What is read besides, and noted nowhere, is given: it stands
in the frame (`outline_of_shelf`).
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any

from guide.dating.model import Model
from guide.dating.parts import frame_of, tables_of
from guide.facts.bones import Outline, digest_of
from guide.facts.reads import MARKDOWN, NOTED, Question, noting
from guide.facts.recall import Recall, Recalled
from guide.limits.types import DatedSpell, LimitsResult
from guide.pages.parts.lent import lent_texts
from guide.pages.shelf import Shelf, answer_digest
from guide.press.kept import bytes_of
from guide.press.offline import EDITION, mark_of, unmarked

__all__ = ["Followed", "PageMade", "Printed", "Reprint", "followed_from", "outline_of_shelf"]


@dataclass(frozen=True, slots=True)
class PageMade:
    """What was made together: the numbers of what was read for it; what was asked, the other files of the site that it
    rests on, and its own files, each with its digest."""

    parts: tuple[int, ...]
    answers: tuple[tuple[Question, str], ...]
    rests_on: tuple[tuple[str, str], ...]
    files: tuple[tuple[str, str], ...]

    def __reduce__(self) -> tuple[type[PageMade], tuple[tuple[Any, ...], ...]]:
        return PageMade, (self.parts, self.answers, self.rests_on, self.files)  # the library's way is slow


@dataclass(frozen=True, slots=True)
class Printed:
    """What was made of a guide, by name; ``of`` is the digest of its bones, ``parts`` are those of all that is noted of
    it (`guide.facts.bones`)."""

    of: str
    parts: tuple[str, ...]
    made: dict[str, PageMade] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Followed:
    """Digests of what is noted of each spell's limits, and of the parts of the model: its frame, each mark's tables."""

    spells: tuple[str, ...]
    frame: str
    tables: tuple[str, ...]


def followed_from(limits: LimitsResult, model: Model) -> Followed:
    """Return the digests of what follows from all statements. Raises TypeError as `guide.facts.bones.outline_of`."""
    spells = (digest_of([getattr(one, name) for name in NOTED[DatedSpell]]) for one in limits.spells)
    told: dict[int, str] = {}  # marks that are computed together have the same
    tables = [told.get(id(one)) or told.setdefault(id(one), digest_of(one)) for one in tables_of(model)]
    return Followed(tuple(spells), digest_of(frame_of(model)), tuple(tables))


def outline_of_shelf(outline: Outline, followed: Followed, shelf: Shelf) -> Outline:
    """Return a guide in brief with all that its pages are made from. Raises TypeError as `followed_from`."""
    limits, whole, model = shelf.limits, outline.digest, shelf.key.model
    spells = [(one.mark, one.form, one.spell, one.scope) for one in limits.spells]
    given = (spells, list(shelf.places.values()), shelf.words.hidden, shelf.model, lent_texts(shelf))
    parts: list[tuple[Any, Iterable[str], str]] = [
        *((one, (name,), whole) for one in (shelf, shelf.tally) if one is not None for name in NOTED[type(one)]),
        (limits, NOTED[LimitsResult], whole),
        *((limits, (name,), digest_of([getattr(limits, name)])) for name in ("clashes", "corroborated", "unused")),
        *((one, NOTED[DatedSpell], digest) for one, digest in zip(limits.spells, followed.spells, strict=True)),
        (model, ("frame",), followed.frame),
        *((one, ("tables",), digest) for one, digest in zip(model.marks, followed.tables, strict=True)),
    ]
    return outline.extended(digest_of(given), parts)


class Reprint:
    """Gives what need not be made anew, and remembers what was made.

    ``outline`` is the guide's, ``whole`` has all that its pages are made from; ``before`` was printed of a guide of the
    same frame, with the same theme and pictures; ``out`` is where it stands. ``recalled`` gives what was worked out of
    a guide whose parts, but for texts, have a digest: ``parts_before`` of what was printed, ``parts_now`` of this one.
    """

    def __init__(
        self,
        shelf: Shelf,
        outline: Outline,
        whole: Outline,
        before: Printed | None,
        out: Path,
        recalled: Callable[[str], Recalled | None] = lambda _: None,
    ) -> None:
        self._shelf, self.outline, self._numbers = shelf, outline, whole.numbers
        self._before = {} if before is None else before.made
        self._same = before is not None and before.of == outline.digest  # then no answer can be another
        self._out = out
        self._mark = _mark_in(out)
        self._other = (  # the numbers of what is not what it was
            frozenset()
            if before is None
            else frozenset(n for n, (was, now) in enumerate(zip(before.parts, whole.parts, strict=True)) if was != now)
        )
        self.printed = Printed(outline.digest, whole.parts)
        texts = {number for (_, name), number in whole.numbers.items() if name in MARKDOWN}
        self.parts_before, self.parts_now = (
            sha256(" ".join(part for n, part in enumerate(of) if n not in texts).encode()).hexdigest()
            for of in (() if before is None else before.parts, whole.parts)
        )
        known = None if before is None else partial(recalled, self.parts_before)
        self.recall = Recall(whole.numbers, self._other, known)

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
        found = self.found(name, site)
        if found is not None:
            return found
        count = faults()
        with noting() as read:
            files = make()
        asked = [one for one in read if one not in self._numbers]  # or what is not of the guide
        if all(isinstance(one, Question) for one in asked) and faults() == count:
            parts = tuple(sorted(one for one in {*map(self._numbers.get, read)} if one is not None))
            answers = [(question, read[question]) for question in asked]
            rests_on = [(path, _digest(site[path])) for path in site if path in used]
            made = [(path, _digest(data)) for path, data in files.items()]
            self.printed.made[name] = PageMade(parts, tuple(answers), tuple(rests_on), tuple(made))
        return files

    def found(self, name: str, site: Mapping[str, bytes] = MappingProxyType({})) -> Mapping[str, bytes] | None:
        """Return what need not be made anew; None where it must be."""
        before = self._before.get(name)
        found = None if before is None else self._read(before, site)
        if found is not None and before is not None:
            self.printed.made[name] = before
        return found

    def _read(self, before: PageMade, site: Mapping[str, bytes]) -> dict[str, bytes] | None:
        """Return what was made then, where all that it rests on is what it was and it is still there; else None."""
        if not self._other.isdisjoint(before.parts):
            return None
        asked = () if self._same else before.answers
        if any(answer_digest(self._shelf, question) != digest for question, digest in asked):
            return None
        if any(path not in site or _digest(site[path]) != digest for path, digest in before.rests_on):
            return None
        found: dict[str, bytes] = {}
        for path, digest in before.files:
            try:
                found[path] = unmarked(path, bytes_of(self._out, path), self._mark)
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
    return sha256(data).hexdigest()
