"""Checks on what the key asks: answers must differ, make sense alone, and leave a choice."""

from __future__ import annotations

import re
from collections.abc import Iterator

from guide.checks.known import Known, place_of
from guide.facts.types import Form, Mark
from guide.finding import Finding, Related
from guide.sentence import sentence

__all__ = ["check_answers_differ", "check_answers_speak", "check_more_than_one_form"]

# Answers that only point at the drawing. A person on the telephone, or with scripts and drawings off,
# has nothing but the words. Common practice, no source.
_POINTS_AT_DRAWING = re.compile(
    r"""^(?:
        (?:this|that|these|those)(?:\s+(?:one|ones|kind|sort|type|form))?
      | (?:like|as|see)\s+(?:this|that|the\s+)?\s*(?:in\s+the\s+)?
        (?:shown|drawn|pictured|drawing|picture|photo|photograph|above|below)?
      | (?:the\s+)?(?:first|second|third|fourth|left|right|upper|lower|top|bottom|other|former|latter)
        (?:\s+(?:one|kind|sort|type|form|drawing|picture))?
      | (?:type|kind|form|version|style|sort|no\.?|number|mark|mk)\s*[a-z0-9]{1,3}
      | [a-z0-9]{1,2}
      | yes | no | old | new | early | late | normal | standard | different
    )[.!]?$""",
    re.IGNORECASE | re.VERBOSE,
)


def _alike(answer: str) -> str:
    """Fold what an eye in the sun does not tell apart: case, spacing, closing stop."""
    return " ".join(answer.casefold().split()).rstrip(".!")


def _same(mark: Mark, first: Form, second: Form) -> Finding:
    other = sentence("checks.same-answer.other", other=first.id)
    return Finding.of(
        "checks.same-answer",
        place_of(second.answer, second.place),
        related=(Related(place_of(first.answer, first.place), other),),
        mark=mark.name,
        answer=second.answer,
        form=second.id,
        other=first.id,
    )


def check_answers_differ(known: Known) -> Iterator[Finding]:
    """Yield a finding for every second form of a mark with an answer that another form has."""
    for mark in known.guide.marks.values():
        seen: dict[str, Form] = {}
        for form in mark.forms.values():
            earlier = seen.setdefault(_alike(form.answer), form)
            if earlier is not form:
                yield _same(mark, earlier, form)


def check_answers_speak(known: Known) -> Iterator[Finding]:
    """Yield a finding for every answer that means nothing without its drawing."""
    for mark in known.guide.marks.values():
        for form in mark.forms.values():
            if _POINTS_AT_DRAWING.match(form.answer.strip()):
                place = place_of(form.answer, form.place)
                yield Finding.of("checks.answer-needs-drawing", place, answer=form.answer, form=form.name)


def check_more_than_one_form(known: Known) -> Iterator[Finding]:
    """Yield a finding for every mark that leaves nothing to choose."""
    for mark in known.guide.marks.values():
        if len(mark.forms) < 2:
            way = "checks.one-form" if mark.ask else "checks.one-form-shown"
            yield Finding.of(way, mark.place, mark=mark.name, forms=len(mark.forms))
