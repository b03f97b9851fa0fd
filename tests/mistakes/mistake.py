"""What a mistake of an editor's day is: what is typed in place of what, which finding comes first, how it is mended.

``put_right`` is what the finding must name for whoever reads it to know what to do. Where it is empty the mend is
mechanical: what the finding says to write is typed in by the test, and the guide is good again. ``more`` is how many
findings there are besides the cause; of most mistakes there is one and no more.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "AREAS",
    "BELTS",
    "COUPE",
    "CSV",
    "DIALS",
    "GUIDE",
    "INTERIORS",
    "JUNE",
    "OPEN",
    "PERIODS",
    "SEEN",
    "SOURCES",
    "SWITCHES",
    "Mistake",
]


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake. ``line`` is where its finding stands; 0: the first line that differs from what was right."""

    file: str
    right: str
    wrong: str | bytes
    code: str
    put_right: str = ""
    line: int = 0
    more: int = 0
    follows: tuple[str, ...] = ()  # the kinds of these, where they have no case of their own
    at: str = ""  # the file that the finding stands in, where that is not the one that was typed in
    becomes: str = ""  # the name that the file is given
    encoding: str = "utf-8"  # what it is saved in
    besides: tuple[tuple[str, str, str], ...] = ()  # what has to stand there for it: file, what is replaced, by what
    mend: tuple[tuple[str, str, str], ...] = ()  # what somebody types who follows the put-right, likewise

    @property
    def id(self) -> str:
        """What a test is called."""
        return f"{self.code}: {(self.becomes or str(self.wrong).strip())[:40]!r} in {self.file}"


GUIDE, SWITCHES, DIALS, BELTS = "guide.yml", "marks/switches.yml", "marks/dials.yml", "marks/belts.yml"
COUPE, OPEN, SEEN = "numbers/coupe.yml", "numbers/open.yml", "cars-seen/field-day.csv"
SOURCES, PERIODS, AREAS = "sources.yml", "periods.yml", "areas.yml"
INTERIORS, CSV, JUNE = "interiors.yml", "statements.csv", "cars-seen/june.csv"
