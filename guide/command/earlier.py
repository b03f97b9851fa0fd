"""What earlier runs have kept of a guide, and what this one keeps for later ones."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from guide.command.made import ForAnswers
from guide.dating.belief.prepare import Prepared, prepare
from guide.dating.building.behind import reasons_of
from guide.facts.bones import outline_of
from guide.press.kept import Kept, digest_of
from guide.press.printed import Printed, Reprint
from guide.press.render import COMPILED, Templates

if TYPE_CHECKING:
    from guide.dating.key import Key
    from guide.facts.types import Guide
    from guide.limits.types import LimitsResult

__all__ = ["Earlier", "keep_answers"]


class Earlier:
    """What was worked out and printed of a guide that had the same bones (`guide.facts.bones`)."""

    def __init__(self, kept: Kept, content: Path, out: Path) -> None:
        self._kept, self._content, self._out = kept, content, out
        self._of = self._language = ""
        self.reprint: Reprint | None = None
        self.outline = ""

    def ready(self, guide: Guide) -> Prepared | None:
        """Return the model of a guide that was read now, made ready, where it is known; and look out its pages."""
        outline = outline_of(guide)
        self.outline = outline.digest
        self._of = f"{outline.digest} {digest_of(self._content / 'pictures')}"
        self._language = guide.language
        if templates := self._kept.get(Templates, self._language):
            COMPILED.take(templates)
        self.reprint = Reprint(outline, self._kept.get(Printed, self._of), self._out)
        return self._kept.get(Prepared, outline.digest)

    def keep(self) -> None:
        """Keep what was printed, and the templates that it was printed with."""
        if self.reprint is not None:
            self._kept.put(self.reprint.printed, self._of)
            self._kept.put(COMPILED.kept(), self._language)


def keep_answers(kept: Kept, of: str, limits: LimitsResult, key: Key) -> tuple[Prepared, ForAnswers]:
    """Return what cars are dated with, and keep it; ``of``: the digest of the guide's bones."""
    prepared, answers = kept.get(Prepared, of), ForAnswers(of, reasons_of(limits))
    if prepared is None:
        prepared = prepare(key.model)
        kept.put(prepared, of)
    kept.put(answers)
    return prepared, answers
