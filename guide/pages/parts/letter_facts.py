"""What letters about single cars need of the facts besides the model: whose word stands behind each form, part numbers,
what is fitted in a part's place and how a copy is told, care, and where voices disagree.

Plain data in the guide's words. `guide.pages.parts.letter` and guide/browser/letter.js compose letters of the same.
"""

from __future__ import annotations

from typing import Any

from guide.dating.building.behind import reasons_of
from guide.facts.types import Form, Guide, Mark, Series
from guide.limits.types import LimitsResult
from guide.limits.wording import statement_said
from guide.pages.parts.naming import source_id
from guide.pages.parts.sheet_parts import first_sentences
from guide.pages.parts.to_be_had import had_of, number_said
from guide.pages.parts.wording import fittings_said
from guide.sentence import in_turn, upper_first
from guide.words.say import Words
from guide.words.typography import typographic

__all__ = ["letter_facts"]

_TELL_LETTERS = 180  # of how a copy is told: what two sides have room for


def letter_facts(guide: Guide, limits: LimitsResult, words: Words) -> dict[str, Any]:
    """Return what letters need besides the model."""
    behind: dict[str, dict[str, list[list[str]]]] = {}
    for (mark, form), entries in reasons_of(limits).items():
        sources = [list(dict.fromkeys(step.source for step in steps if step.source)) for steps in entries]
        behind.setdefault(mark, {})[form] = sources
    return {
        "title": guide.title,
        "contact": guide.contact,
        "sources": {one.id: {"name": one.name, "part": source_id(one.id)} for one in guide.sources.values()},
        "behind": behind,
        "numbers": {one.id: _sources_of(one) for one in guide.series.values()},
        "marks": {mark.id: _mark(guide, limits, words, mark) for mark in guide.marks.values()},
        "care": [
            {"title": note.title, "says": note.summary, "marks": list(note.marks)} for note in guide.care.values()
        ],
    }


def _sources_of(series: Series) -> list[str]:
    """Return whose word it is when numbers of a series were built."""
    lists = (series.runs, series.calendar, series.dated_cars, series.strays)
    return list(dict.fromkeys(one.source for each in lists for one in each if one.source))


def _mark(guide: Guide, limits: LimitsResult, words: Words, mark: Mark) -> dict[str, Any]:
    aside = [one for one in limits.clashes if one.mark == mark.id and one.ruled is None]
    return {
        "forms": {form.id: _form(guide, words, mark, form) for form in mark.forms.values()},
        "tells": _told(guide, mark.taken_for),
        "unruled": [
            {
                "says": words.tell(upper_first(statement_said(guide, mark.statements[one.set_aside]))),
                "source": mark.statements[one.set_aside].source,
            }
            for one in aside
        ],
    }


def _form(guide: Guide, words: Words, mark: Mark, form: Form) -> dict[str, Any]:
    """Return a form's numbers, how else than from the works it comes to be on cars, and how it is told from others."""
    own = [(one.what or _name_of(mark, one.form), one.tell) for one in form.taken_for]
    turned = [(other.name, one.tell) for other in mark.forms.values() for one in other.taken_for if one.form == form.id]
    tells = [{"what": what, "tell": _told(guide, tell)} for what, tell in (*own, *turned)]
    return {
        "numbers": [words.tell(number_said(one)) for one in form.part_numbers],
        "stamped": list(form.stamped),
        "had": [[words.tell(one.dated), one.source] for one in had_of(guide, form)],
        "how": words.tell(in_turn(fittings_said(guide, form))),
        "tells": [one for one in tells if one["what"] and one["tell"]],
    }


def _name_of(mark: Mark, form: str) -> str:
    return mark.forms[form].name if form in mark.forms else ""


def _told(guide: Guide, text: str) -> str:
    return typographic(first_sentences(text, _TELL_LETTERS), guide.language)
