"""What is known of a guide once it was made: all that the command has to say of it, kept for the next time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.finding import Finding, Severity

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

    def count(self, severity: Severity) -> int:
        """Return how many findings there are of one severity."""
        return sum(finding.severity is severity for finding in self.findings)

    def stops(self, stop_on: str) -> bool:
        """Tell whether the findings keep a guide from being written."""
        return self.count(Severity.ERROR) > 0 or (stop_on == "warnings" and self.count(Severity.WARNING) > 0)
