"""Part numbers of the whole guide: which form has one, and which number took its place in the lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from guide.facts.text.folded import compact
from guide.facts.types import Form, Guide, Mark, PartNumber

__all__ = ["FormNumber", "Numbers", "goes_round", "numbers_of", "successors_of"]


@dataclass(frozen=True, slots=True)
class FormNumber:
    """A number as one form has it."""

    number: PartNumber
    mark: Mark
    form: Form


Numbers = Mapping[str, Sequence[FormNumber]]  # by the number without its spacing and signs, in the guide's order


def numbers_of(guide: Guide) -> Numbers:
    """Return every part number that a form has."""
    found: dict[str, list[FormNumber]] = {}
    for mark in guide.marks.values():
        for form in mark.forms.values():
            for number in form.part_numbers:
                found.setdefault(compact(number.number), []).append(FormNumber(number, mark, form))
    return found


def _next(number: str, numbers: Numbers) -> str:
    """Return the number that took another's place, as it is written; empty where none did."""
    return next((one.number.superseded_by for one in numbers.get(number, ()) if one.number.superseded_by), "")


def successors_of(number: str, numbers: Numbers) -> list[str]:
    """Return the numbers that took a number's place one after the other, each as it is written, the last the one in
    use; each is named once, also where they go round."""
    found: dict[str, str] = {}
    at = compact(number)
    while (after := _next(at, numbers)) and compact(after) not in (*found, compact(number)):
        at = compact(after)
        found[at] = after
    return list(found.values())


def goes_round(number: str, numbers: Numbers) -> bool:
    """Tell whether what took a number's place leads back to it."""
    last = ([number, *successors_of(number, numbers)])[-1]
    return compact(_next(compact(last), numbers)) == compact(number) != ""
