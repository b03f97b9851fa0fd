"""What is known of a guide once it was made: all that the command has to say of it, kept for the next time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.finding import Finding

if TYPE_CHECKING:
    from guide.dating.building.behind import Reasons

__all__ = ["ForAnswers", "Made"]


@dataclass(frozen=True, slots=True)
class ForAnswers:
    """What cars are dated with: ``of``, a digest of the facts, which names the model made ready, and the statements
    behind each form."""

    of: str
    reasons: Reasons


@dataclass(frozen=True, slots=True)
class Made:
    """A guide as it was made: its edition and findings; the text of its marker and its number of pages, where the
    findings did not stop it."""

    edition: str
    findings: tuple[Finding, ...]
    marker: str = ""
    pages: int = 0
