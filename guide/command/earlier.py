"""What earlier runs have kept of a guide, and what this one keeps for later ones."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from guide.command.made import ForAnswers
from guide.dating.belief.prepare import Prepared
from guide.dating.building.behind import reasons_of
from guide.facts.bones import Outline, outline_of
from guide.facts.recall import Recalled
from guide.press.compiled import COMPILED, Templates
from guide.press.kept import Kept, digest_of
from guide.press.printed import Followed, Printed, Reprint, followed_from, outline_of_shelf

if TYPE_CHECKING:
    from guide.dating.key import Key
    from guide.facts.types import Guide
    from guide.limits.types import LimitsResult
    from guide.pages.shelf import Shelf

__all__ = ["Earlier", "keep_answers"]


class Earlier:
    """What was worked out of a guide that had the same bones (`guide.facts.bones`), and printed of one of the same
    frame."""

    def __init__(self, kept: Kept, content: Path, out: Path) -> None:
        self._kept, self._content, self._out = kept, content, out
        self._of = ""
        self._reprint: Reprint | None = None
        self._outline: Outline | None = None

    @property
    def outline(self) -> str:
        """The digest of the bones of the guide that was read now."""
        return "" if self._outline is None else self._outline.digest

    def ready(self, guide: Guide) -> Prepared | None:
        """Return the model of a guide that was read now, made ready, where it is known."""
        self._outline = outline_of(guide)
        return self._kept.get(Prepared, self.outline)

    def reprint(self, shelf: Shelf) -> Reprint:
        """Look out what was printed of a guide with the same frame."""
        assert self._outline is not None, "a guide is read before it is printed"
        followed = self._kept.get(Followed, self.outline)
        if followed is None:
            followed = followed_from(shelf.limits, shelf.key.model)
            self._kept.put(followed, self.outline)
        whole = outline_of_shelf(self._outline, followed, shelf)
        self._of = f"{whole.frame} {digest_of(self._content / 'pictures')}"
        if templates := self._kept.get(Templates, shelf.guide.language):
            COMPILED.take(templates)
        before = self._kept.get(Printed, self._of)
        self._reprint = Reprint(shelf, self._outline, whole, before, self._out, self._recalled)
        self._kept.hold(Recalled, f"{self._of} {self._reprint.parts_before}")
        return self._reprint

    def _recalled(self, parts: str) -> Recalled | None:
        return self._kept.get(Recalled, f"{self._of} {parts}")

    def keep(self, language: str) -> None:
        """Keep what was printed, and the templates that it was printed with."""
        if self._reprint is not None:
            self._kept.put(self._reprint.printed, self._of)
            if self._reprint.recall.new or self._reprint.parts_now != self._reprint.parts_before:
                self._kept.put(self._reprint.recall.now, f"{self._of} {self._reprint.parts_now}")
            if COMPILED.is_new:
                self._kept.put(COMPILED.kept(), language)


def keep_answers(kept: Kept, of: str, limits: LimitsResult, key: Key) -> tuple[Prepared, ForAnswers]:
    """Return what cars are dated with, and keep it; ``of``: the digest of the guide's bones."""
    prepared, answers = kept.get(Prepared, of), ForAnswers(of, reasons_of(limits))
    if prepared is None:
        prepared = key.prepared.alone
        kept.put(prepared, of)
    kept.put(answers)
    return prepared, answers
