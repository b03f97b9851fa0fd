"""The facts for others to compute with: what is stated and what is derived, in formats that stay (`FORMAT`).

``downloads/facts.json``
    ``{"format", "title", "car", "edition", "language", "licence", "address", "production", "series", "sources",
    "areas", "periods", "interiors", "marks"}``; a mark holds its forms and its statements, each statement with its
    source, what it says in words (``says``; its time and its cars alone: ``when_says``, ``for_says``), and what became
    of it.
``downloads/limits.json``
    ``{"format", "edition", "limits"}``, each limit as `check --json` prints it, without places in the editor's files,
    and with its cars in words (``scope_says``).
``downloads/statements.csv``
    the statements as a guide of one's own takes them in, under the same name; each cell as it was typed.
``downloads/sources.json``
    the sources as CSL-JSON, which programs for references read (Citation Style Language 1.0.2, CSL-JSON).

Every list is in the guide's order, a day is ISO 8601. Numbers that the guide hides are hidden here: a statement that
names one is left out of the sheet, which could not be read back with half a number.
"""

from __future__ import annotations

import json
from calendar import monthrange
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby
from operator import attrgetter
from typing import Any

from guide.facts.reads import Question
from guide.facts.recall import recalled
from guide.facts.records.calendars import CalendarKind
from guide.facts.records.statements_csv import CHANGES, COLUMNS
from guide.facts.types import Form, FormRef, Mark, Series, Source, Statement, StatementKind, Supply, When
from guide.facts.when.numbers import write_number
from guide.finding import Place
from guide.limits.edges import limits_json
from guide.limits.types import DatedSpell
from guide.limits.wording import claim_said, scope_said, when_said
from guide.pages.parts.masked import hidden_numbers
from guide.pages.shelf import Shelf, once

__all__ = [
    "FORMAT",
    "bibliography",
    "facts_data",
    "facts_told",
    "is_hidden",
    "limits_data",
    "limits_told",
    "number_written",
    "standing_of",
    "statement_rows",
]

FORMAT = 1  # of facts.json and limits.json; a change of their shape raises it


def _dumped(value: Any) -> bytes:
    return (json.dumps(value, ensure_ascii=False, indent=1) + "\n").encode()


def facts_data(shelf: Shelf) -> bytes:
    """Return the facts as JSON."""
    return _dumped(facts_told(shelf))


@once
def facts_told(shelf: Shelf) -> dict[str, Any]:
    """Return the facts as plain data, in words."""
    guide = shelf.guide
    value = {
        "format": FORMAT,
        "title": guide.title,
        "car": guide.car,
        "edition": guide.edition,
        "language": guide.language,
        "licence": guide.licence,
        "address": guide.address,
        "production": [
            {"first": one.first.isoformat(), "last": one.last.isoformat(), "source": one.source}
            for one in guide.productions
        ],
        "series": [_series(one) for one in guide.series.values()],
        "sources": [_source(one) for one in guide.sources.values()],
        "areas": [{"id": one.id, "name": one.name, "marks": one.marks} for one in guide.areas.values()],
        "periods": [
            {"id": one.id, "name": one.name, "first": one.first.isoformat(), "last": one.last.isoformat()}
            for one in guide.periods.values()
        ],
        "interiors": [
            {"id": one.id, "name": one.name, "colour": one.colour, "material": one.material}
            for one in guide.interiors.values()
        ],
        "marks": [_mark(shelf, one) for one in guide.marks.values()],
    }
    told: dict[str, Any] = shelf.words.told(value)
    return told


def number_written(series: Series, prefix: str, number: int) -> str:
    """Return a number as the plate has it, its leading noughts with it."""
    return write_number(series, prefix, number).written if prefix else f"{number}"


def _series(series: Series) -> dict[str, Any]:
    return {
        "id": series.id,
        "name": series.name,
        "kind": series.kind,
        "runs": [
            {
                "first": number_written(series, one.prefix, one.first),
                "last": "" if one.last is None else number_written(series, one.prefix, one.last),
                "built": one.built,
            }
            for one in series.runs
        ],
        "calendar": [
            {
                "kind": str(one.kind),
                "day": (one.time.days()[one.kind is CalendarKind.LAST_BY_END]).isoformat(),
                "car": one.car.written,
                "source": one.source,
            }
            for one in series.calendar
        ],
    }


def _source(source: Source) -> dict[str, Any]:
    return {
        "id": source.id,
        "name": source.name,
        "kind": source.kind,
        "trust": str(source.trust),
        "dated": source.dated.text if source.dated else "",
        "repeats": source.repeats,
    }


def _mark(shelf: Shelf, mark: Mark) -> dict[str, Any]:
    return {
        "id": mark.id,
        "name": mark.name,
        "also": mark.also,
        "area": mark.area,
        "question": mark.question,
        "reach": str(mark.reach),
        "survives": mark.survives_share,
        "forms": [_form(one) for one in mark.forms.values()],
        "statements": [_statement(shelf, mark, at, one) for at, one in enumerate(mark.statements)],
    }


def _form(form: Form) -> dict[str, Any]:
    return {
        "id": form.id,
        "name": form.name,
        "answer": form.answer,
        "describes": form.describes,
        "for": form.scope.as_dict(),
        "fitted_as": [str(one.kind) for one in form.fitted_as],
        "part_numbers": [one.number for one in form.part_numbers],
        "superseded": {one.number: one.superseded_by for one in form.part_numbers if one.superseded_by},
        "supply": [_supply(one) for one in form.supply],
    }


def _supply(one: Supply) -> dict[str, Any]:
    return {
        "had": str(one.had),
        "as_of": one.as_of.text,
        "words": one.words,
        "told_by": one.told_by,
        "source": one.source,
    }


def _statement(shelf: Shelf, mark: Mark, at: int, one: Statement) -> dict[str, Any]:
    return {
        "form": one.form,
        "spell": one.spell,
        "kind": str(one.kind),
        "when": _typed(shelf, one.when),
        "when_says": "" if one.when is None else when_said(shelf.guide, one.when),
        "other": _form_typed(one.other.form, one.other.spell) if one.other else "",
        "for": one.scope.as_dict(),
        "for_says": scope_said(shelf.guide, one.scope),
        "source": one.source,
        "page": one.page,
        "says": claim_said(shelf.guide, one),
        "standing": standing_of(shelf, mark, at),
    }


def standing_of(shelf: Shelf, mark: Mark, at: int) -> str:
    """Return what became of a mark's statement: "stands", "aside", "read", or why it is not used."""
    for ruling in mark.rulings:
        if ruling.statement == at:
            return "aside" if ruling.sets_aside else "read"
    for clash in shelf.limits.clashes:
        if clash.mark == mark.id and clash.set_aside == at:
            return str(clash.standing)
    return str(shelf.limits.unused.get((mark.id, at), "stands"))


def is_hidden(shelf: Shelf, when: When | None) -> bool:
    """Tell whether a time is a car whose number the guide hides."""
    return when is not None and when.car is not None and when.car.written in hidden_numbers(shelf.guide, shelf.lines)


def _typed(shelf: Shelf, when: When | None) -> str:
    """Return a time as it was typed, a number that the guide hides as it shows it."""
    if when is None or when.car is None:
        return "" if when is None else str(when.text)
    return hidden_numbers(shelf.guide, shelf.lines).get(when.car.written, str(when.text))


def _form_typed(form: str, spell: int) -> str:
    return form if spell == 1 else f"{form}/{spell}"


def limits_data(shelf: Shelf) -> bytes:
    """Return the limits of every spell as JSON, each edge with its cars and its reasons; mark by mark, as most limits
    are what they were when one is another."""
    marks = groupby(shelf.limits.spells, key=attrgetter("mark"))
    limits = ",\n  ".join(_limits_dumped(shelf, mark, list(spells)) for mark, spells in marks)
    empty = _dumped({"format": FORMAT, "edition": shelf.guide.edition, "limits": []})
    begun, _, end = empty.rpartition(b"[]")
    return begun + b"[\n  " + limits.encode() + b"\n ]" + end if limits else empty


def _limits_dumped(shelf: Shelf, mark: str, spells: Sequence[DatedSpell]) -> str:
    def dumped() -> str:
        limits = (json.dumps(one, ensure_ascii=False, indent=1) for one in _limits_told(shelf, spells))
        return ",\n".join(limits).replace("\n", "\n  ")

    return recalled(Question(f"{__name__}.limits", (mark,)), dumped)


@once
def limits_told(shelf: Shelf) -> list[dict[str, Any]]:
    """Return the limits of every spell as plain data, in words."""
    return _limits_told(shelf, shelf.limits.spells)


def _limits_told(shelf: Shelf, spells: Sequence[DatedSpell]) -> list[dict[str, Any]]:
    limits = limits_json(shelf.limits, shelf.words, spells)
    hidden = hidden_numbers(shelf.guide, shelf.lines)
    for spell, limit in zip(spells, limits, strict=True):
        limit["scope_says"] = shelf.words.tell(scope_said(shelf.guide, spell.scope))
        for edge in (limit[end][side] for end in ("first", "last") for side in ("earliest", "latest")):
            for car in edge["cars"]:
                car["number"] = hidden.get(car["number"], car["number"])
            for step in edge["because"]:
                for place in ("file", "line", "column"):
                    step.pop(place, None)
    return limits


def statement_rows(shelf: Shelf, told: Callable[[Statement], bool] = lambda _statement: True) -> Iterator[list[str]]:
    """Yield the statements that are to be ``told`` as rows that a guide reads, the head first; a column that nothing
    fills is left out."""
    rows = list(_rows(shelf, told))
    names = [one.name for one in COLUMNS.fields]
    names += dict.fromkeys(name for row in rows for name in row if name not in names)
    used = [name for name in names if name in ("mark", "form", "kind", "when") or any(row.get(name) for row in rows)]
    yield used
    yield from ([row.get(name, "") for name in used] for row in rows)


def _rows(shelf: Shelf, told: Callable[[Statement], bool]) -> Iterator[Mapping[str, str]]:
    for mark in shelf.guide.marks.values():
        changes = _changes(mark)
        for one in mark.statements:
            if told(one) and not is_hidden(shelf, one.when):
                changed = changes.get(one.place)
                if changed is one:
                    continue  # its row is written with the last that it follows
                when = one.when if changed is None else changed.when
                other = one.other if changed is None else FormRef(changed.mark, changed.form, changed.spell)
                ever = {"last": "the last ever", "first": "the first ever"}.get(str(one.kind), "")
                yield {
                    "mark": mark.id,
                    "form": _form_typed(one.form, one.spell),
                    "kind": str(one.kind) if changed is None else CHANGES,
                    "when": str(when.text) if when else "",
                    "other": _form_typed(other.form, other.spell) if other else "",
                    "source": one.source,
                    "page": one.page,
                    "printed": one.printed,
                    "repeats": one.repeats,
                    "share": "" if one.share is None else f"{one.share:g}",
                    "old stock": "" if one.old_stock_cars is None else str(one.old_stock_cars),
                    "note": one.note,
                    **({ever: "yes"} if one.superlative and ever else {}),
                    **{name: "+".join(values) for name, values in one.scope.parts},
                }


def _changes(mark: Mark) -> dict[Place, Statement]:
    """Return the first that each change of a mark makes beside a last, by its place."""
    lasts = {one.place: one for one in mark.statements if one.kind is StatementKind.LAST}
    return {
        one.place: one
        for one in mark.statements
        if one.kind is StatementKind.FIRST and (last := lasts.get(one.place)) and last.form != one.form
    }


def bibliography(shelf: Shelf) -> bytes:
    """Return the sources as CSL-JSON."""
    return _dumped([_cited(one) for one in shelf.guide.sources.values()])


def _date_parts(first: date | None, last: date | None) -> list[list[int]]:
    """Return a date, or the two ends of a span, as closely as it is known: by day, month or year."""
    ends = [(one.year, one.month, one.day) for one in (first, last) if one is not None]
    months = first is not None and last is not None and first.day == 1 and last.day == monthrange(*ends[-1][:2])[1]
    years = months and (ends[0][1], ends[-1][1]) == (1, 12)
    known = 1 if years or len(ends) < 2 else 2 if months else 3 if ends[0] == ends[-1] else 1
    return [list(one) for one in dict.fromkeys(end[:known] for end in ends)]


def _cited(source: Source) -> dict[str, Any]:
    dated = source.dated
    issued = _date_parts(dated.earliest, dated.latest) if dated else []
    return {
        "id": source.id,
        "type": "document",
        "title": source.name,
        "genre": source.kind,
        **({"issued": {"date-parts": issued}} if issued else {}),
        **({"archive": source.held} if source.held else {}),
        **({"URL": source.scan} if source.is_address else {}),
    }
