"""What a person says of one car, and how likely each saying is.

A mark goes through three states: *built* with a form, *found* with one today, *reported* as one.

    found:     survives . [found = built]  +  (1 - survives) . replacement(found | built)
    reported:  (1 - e) if reported = found, else e / (F - 1)      e: misreading, F: forms of the mark

An answer is a set of forms and its likelihood the sum over them, so "can't tell" (every form) is 1 whatever
was built. "Has been changed" and "none of these" say nothing of the date. A car that was built without such a part is
said to have one with the chance of a misreading alone, whatever the form.
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from operator import add

from guide.dating.model import ModelMark

__all__ = ["Answer", "Session", "Vector", "Vectors", "hidden_by", "reported", "seen_forms", "shows_part"]

Vector = Sequence[float]


@dataclass(frozen=True, slots=True)
class Answer:
    """One look: the mark, the forms that were reported, and the kind (as in ``ask --json``)."""

    mark: str
    forms: tuple[str, ...]
    kind: str = "form"

    @classmethod
    def of(cls, mark: str, forms: Sequence[str]) -> Answer:
        """Return the answer that names one form, or several."""
        return cls(mark, tuple(dict.fromkeys(forms)), "form" if len(set(forms)) == 1 else "several")

    @property
    def value(self) -> str:
        """The answer as it is typed: ``form``, ``form+form``, ``changed``, ``none`` or ``cannot-tell``."""
        return "+".join(self.forms) if self.kind in ("form", "several") else self.kind


@dataclass(frozen=True, slots=True)
class Session:
    """Everything known of one car: looks in order, chassis number, what one may do, papers and part dates.

    Further numbers stand after the chassis number, joined to it by ``+``. ``known`` maps ``assembled``,
    ``registered``, ``despatched``, ``titled``, ``model-year`` or ``part:<mark>`` to a date (``1968``, ``1968-03``,
    ``1968-03-12``) or a model year. An empty ``reach`` allows everything.
    """

    answers: tuple[Answer, ...] = ()
    car: str | None = None
    reach: tuple[str, ...] = ()
    known: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Vectors:
    """A mark's factor for each form built: while its set was not renewed, while it was, and for the donor."""

    own: Vector
    under: Vector
    donor: Vector
    # what is remembered of a report: by blocks.py its values per piece and per cell; by restored.py a table per own row
    known: dict[str, list[float]] = field(default_factory=dict, compare=False, repr=False)
    tables: dict[int, array[float]] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of_report(cls, said: Vector) -> Vectors:
        """Return the factors of a report, given its chance for each form built."""
        return cls(said, [1.0] * len(said), said)


def seen_forms(mark: ModelMark, answer: Answer) -> list[int]:
    """Return the forms of the part itself that an answer names, by index; none where it cannot bear on the date.

    What lies over the part is on the car and tells nothing of what is beneath.
    """
    if answer.kind not in ("form", "several"):
        return []
    numbers = {form.id: at for at, form in enumerate(mark.forms)}
    return sorted(at for at in {numbers[form] for form in answer.forms} if mark.id not in mark.forms[at].over)


def shows_part(answer: Answer) -> bool:
    """Tell whether an answer says that the car has such a part at all."""
    return answer.kind in ("form", "several", "changed")


def hidden_by(mark: ModelMark, answer: Answer) -> set[str]:
    """Return the marks, by id, that cannot be seen with an answer: all that it names lies over them."""
    over = [set(form.over) for form in mark.forms if form.id in answer.forms]
    return set.intersection(*over) if over else set()


def _found_table(mark: ModelMark) -> list[list[float]]:
    """Return ``table[built][found]``, each row summing to one."""
    count = len(mark.forms)
    lost, replacement = 1.0 - mark.survives, mark.replacement or [[1.0 / count] * count] * count
    return [
        [lost * share + (mark.survives if found == built else 0.0) for found, share in enumerate(row)]
        for built, row in enumerate(replacement)
    ]


def _read_as(mark: ModelMark, forms: Sequence[int]) -> list[float]:
    """Return, for each form found, the chance of an answer that names one of ``forms``."""
    count = len(mark.forms)
    if count == 1:
        return [1.0]
    other = mark.misread / (count - 1)
    return [
        (1.0 - mark.misread) + (len(forms) - 1) * other if found in forms else len(forms) * other
        for found in range(count)
    ]


def reported(mark: ModelMark, forms: Sequence[int]) -> tuple[list[float], list[float]]:
    """Return, for each form built, the chance of the answer, and that of the answer with the car truly so found."""
    said = _read_as(mark, forms)
    others = [form for form in range(len(said)) if form not in forms]
    table = _found_table(mark)
    truly, falsely = ([sum(row[form] * said[form] for form in some) for row in table] for some in (forms, others))
    return list(map(add, truly, falsely)), truly
