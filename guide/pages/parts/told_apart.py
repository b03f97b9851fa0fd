"""Marks that tell two kinds of car apart, laid out: where to look, how well it tells, and what each of the two has.

The ranking is that of `guide.dating.tell_apart`. A mark is drawn with the form that most of each kind had; the
body and the trim, which the key asks for beside the guide's own marks, are told in the same way. A mark that is never
asked for is left out, because no verdict rests on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from operator import itemgetter

from guide.dating.key import Cars, told_by
from guide.dating.model import ModelMark
from guide.dating.result_sentences import period_said
from guide.dating.tell_apart import Told
from guide.facts.reads import Question, remembered, resting
from guide.facts.types import Mark
from guide.pages.parts.expected import USUAL, usual_first
from guide.pages.parts.models import car_models
from guide.pages.shelf import Shelf, answered, once
from guide.words.say import upper_first

__all__ = ["WORDS", "ExpectedForm", "ToldApart", "rows_apart", "split_drawn", "tells", "told_of"]

LITTLE_BITS = 0.05  # a look that tells less than this about two periods is not worth naming for it

WORDS = ((0.97, "never"), (0.8, "nearly"), (0.5, "mostly"), (0.0, "sometimes"))

Link = tuple[str, str, str]  # kind, id and part, as a template's ``to`` takes them
_Shown = tuple[tuple[int, str], ...]  # forms by their number, each with how many had it, in words
_Row = tuple[str, str, str, _Shown, _Shown]  # a mark, its reach, how it differs (`WORDS`), what each of two kinds has


@dataclass(frozen=True, slots=True)
class ExpectedForm:
    """One form to expect; ``share`` says how many had it, and is empty where nearly all did."""

    answer: str
    picture: str
    describes: str
    share: str
    link: Link | None


@dataclass(frozen=True, slots=True)
class ToldApart:
    """One mark that tells two things apart: ``one`` and ``other`` are what each has, most usual first."""

    id: str
    name: str
    link: Link | None
    how: str
    differs: str
    one: tuple[ExpectedForm, ...]
    other: tuple[ExpectedForm, ...]


def _laid_out(shelf: Shelf, row: _Row) -> ToldApart:
    """Return a mark that `guide.dating.tell_apart` ranked, in words and drawings."""
    mark, reach, differs, one, other = row
    asked = _asked(shelf)[mark]
    return ToldApart(
        id=mark,
        name=asked.name,
        link=("mark", mark, "") if asked.kind == "mark" else None,
        how=upper_first(shelf.say(f"pages.reach.how.{reach}")),
        differs=shelf.say(f"pages.apart.differs.{differs}"),
        one=_expected(shelf, asked, one),
        other=_expected(shelf, asked, other),
    )


def split_drawn(rows: Sequence[ToldApart], most: int) -> dict[str, list[ToldApart]]:
    """Return the rows to draw, at most so many, and those that get a line.

    Two drawings of one form tell nobody anything, though how many had it may: such a row gets a line.
    """
    drawn = [row for row in rows if row.one[:1] and row.other[:1] and row.one[0].answer != row.other[0].answer][:most]
    return {"drawn": drawn, "further": [row for row in rows if row not in drawn]}


def _asked(shelf: Shelf) -> dict[str, ModelMark]:
    return remembered(shelf.known, _asked, lambda: {mark.id: mark for mark in shelf.model.marks})


@once
def _forms_of(shelf: Shelf, asked: ModelMark) -> list[ExpectedForm]:
    """Return every form of a mark, in the model's order, as yet without a share."""
    guide = shelf.guide
    if asked.kind == "mark":
        return [
            ExpectedForm(form.answer, form.picture, form.describes, "", ("mark", asked.id, f"form-{form.id}"))
            for form in guide.marks[asked.id].forms.values()
        ]
    if asked.kind == "interior":
        return [
            ExpectedForm(form.answer, guide.interiors[form.id].picture, "", "", ("interior", form.id, ""))
            for form in asked.forms
        ]
    values = guide.splits[asked.id].values if asked.kind == "split" else {}
    return [
        ExpectedForm(form.answer, values[form.id].picture if form.id in values else "", "", "", None)
        for form in asked.forms
    ]


def _expected(shelf: Shelf, asked: ModelMark, shown: _Shown) -> tuple[ExpectedForm, ...]:
    """Return the forms to expect with how many had each; the same wherever it is asked for."""

    def made() -> tuple[ExpectedForm, ...]:
        forms = _forms_of(shelf, asked)
        return tuple(replace(forms[at], share=share) if share else forms[at] for at, share in shown)

    return remembered(shelf.known, (_expected, asked.id, shown), made)


def _shown(shelf: Shelf, shares: tuple[float, ...]) -> _Shown:
    """Return the forms to expect, most usual first, each with how many had it, but for one that nearly all had."""

    def said() -> _Shown:
        usual = usual_first(dict(enumerate(shares)))
        return tuple((at, "" if share >= USUAL else shelf.words.in_ten(share)) for at, share in usual)

    return remembered(shelf.known, (_shown, shares), said)


def rows_apart(shelf: Shelf, one: Cars, other: Cars, least_bits: float, marks_only: bool = True) -> list[ToldApart]:
    """Return what tells two kinds of car apart, laid out, asked as `told_of` is."""
    return [_laid_out(shelf, row) for row in _rows(shelf, one, other, least_bits, marks_only)]


@answered
def _rows(shelf: Shelf, one: Cars, other: Cars, least_bits: float, marks_only: bool) -> tuple[_Row, ...]:
    def rows(marks: Sequence[int]) -> list[tuple[int, _Row] | None]:
        told = _worth_telling(shelf, shelf.key.tell_apart_by(marks, one, other), marks_only, least_bits)
        found = {shelf.key.prepared.marks_by_id[each.mark]: (each.order, _row(shelf, each)) for each in told}
        return [found.get(mark) for mark in marks]

    with resting("key"):
        question = Question(f"{__name__}.rows", (one, other, least_bits, marks_only))
        each = shelf.key.of_each_mark(question, told_by(one, other), rows)
    return tuple(row for _, row in sorted(filter(None, each), key=itemgetter(0)))


def _row(shelf: Shelf, told: Told) -> _Row:
    differs = next(word for least, word in WORDS if told.separation >= least)
    return told.mark, told.reach, differs, _shown(shelf, told.one), _shown(shelf, told.other)


def told_of(shelf: Shelf, one: Cars, other: Cars, *, marks_only: bool = True, least_bits: float = 0.0) -> list[Told]:
    """Return the marks that tell two kinds of car apart, best first, each by so many bits at least; with ``marks_only``
    not the body or the trim, nor a mark of which both show the same forms in the same order: how many had each, no look
    tells."""
    return _worth_telling(shelf, shelf.key.tell_apart(one, other), marks_only, least_bits)


def _worth_telling(shelf: Shelf, told: Iterable[Told], marks_only: bool, least_bits: float) -> list[Told]:
    marks = shelf.guide.marks
    return [
        one
        for one in told
        if one.gain_bits >= least_bits
        and (marks[one.mark].ask if one.mark in marks else not marks_only)
        and [at for at, _ in _shown(shelf, one.one)] != [at for at, _ in _shown(shelf, one.other)]
    ]


def tells(shelf: Shelf, mark: Mark) -> dict[str, object]:
    """Return which neighbouring periods a mark tells apart best, and the mark that does it best from as close.

    ``{"says": sentence, "next": mark or None}``; the sentence says so when it tells no period apart.
    """
    says, other = _tells(shelf, mark.id)
    return {"says": says, "next": shelf.guide.marks[other] if other else None}


@answered
def _tells(shelf: Shelf, mark_id: str) -> tuple[str, str]:
    mark = shelf.guide.marks[mark_id]
    if not mark.ask:
        return shelf.say("pages.mark.tells_unasked"), ""
    periods = [[Cars(period=one.id) for one in model.periods] for model in car_models(shelf)]
    best = shelf.key.best_pair(mark_id, (pair for of_model in periods for pair in pairwise(of_model)))
    if best is None or best[0] < LITTLE_BITS:
        return shelf.say("pages.mark.tells_little"), ""
    told = [shelf.guide.periods[cars.period] for cars in best[1]]
    slots = {name: period_said(it.name, (it.first, it.last)) for name, it in zip(("one", "other"), told, strict=True)}
    marks = [shelf.guide.marks[told.mark] for told in told_of(shelf, *best[1])]
    first, *others = [one for one in marks if one.reach is mark.reach]
    if first is not mark:
        return shelf.words.say("pages.mark.tells_some", **slots), first.id
    how = shelf.say(f"pages.reach.how.{mark.reach}")
    return shelf.words.say("pages.mark.tells_best", **slots, how=how), others[0].id if others else ""
