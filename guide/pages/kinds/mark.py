"""A mark: its forms side by side, when it changed and why we say so, what it is taken for, who says what."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from guide.constants import value_of
from guide.facts.types import Form, Guide, Mark, Ruling, Statement
from guide.limits.courses import Course, courses_of
from guide.limits.rulings import echo_of
from guide.limits.types import Clash, Standing
from guide.limits.wording import claim_said, scope_said, statement_said, when_said
from guide.pages.parts.band import render_band
from guide.pages.parts.changes import Notes, changes_explained
from guide.pages.parts.expected import LEAST, USUAL
from guide.pages.parts.models import axis_of
from guide.pages.parts.naming import name_elsewhere, ruling_id, source_id
from guide.pages.parts.order import orders_said
from guide.pages.parts.pairs import LEAST_BITS, pairs_of
from guide.pages.parts.pictures import credited, further_pictures, pointed_out, shown_with
from guide.pages.parts.spells import band_said, course_cars_said, spans_of, strip_of, told_spells
from guide.pages.parts.to_be_had import form_lines
from guide.pages.parts.told_apart import WORDS, tells
from guide.pages.parts.wording import citation_said, count_said, fittings_said, repeats_said, spare_said, survival_said
from guide.pages.shelf import Context, Shelf, answered, page_each
from guide.sentence import Value, all_of, count, duration, lower_first, sentence, upper_first
from guide.tally.follows import Follows

__all__ = ["PAGE"]


def _context(shelf: Shelf, mark: Mark) -> Context:
    courses = courses_of(shelf.limits, mark)
    notes = Notes(shelf)
    changes = changes_explained(shelf, mark, notes)
    orders = orders_said(shelf, mark, notes)
    statements = _statements(shelf, mark, notes)
    return {
        "mark": mark,
        "area": shelf.guide.areas[mark.area],
        "where": sentence(f"pages.mark.where.{mark.reach}", area=shelf.guide.areas[mark.area].name),
        "keeps": survival_said(mark.survives_share),
        "dated": _dated(shelf, mark),
        "only": scope_said(shelf.guide, mark.scope),
        "forms": [_form(shelf, mark, form, courses, at) for at, form in enumerate(mark.forms.values())],
        "bands": _bands(shelf, courses),
        "changes": changes,
        "orders": orders,
        "follows": [_followed(mark, one) for one in _told(shelf, mark.id)],
        "timeless": not changes and not orders and not _timed(shelf, courses),
        "statements": statements,
        "sources": notes.listed(),
        "clashes": [_clash(shelf, clash) for clash in _clashes(shelf, mark)],
        "helpful": _helpful(shelf, mark.id),
        "taken_for": [(form, taken) for form in mark.forms.values() for taken in form.taken_for],
        "tells": tells(shelf, mark),
        "seen": _seen(shelf, mark),
        "expectation": bool(shelf.guide.ordered_series) and sum(form.dates_a_car for form in mark.forms.values()) > 1,
        "pairs": pairs_of(mark),
        "chooser": _chooser(mark),
        "pictures": further_pictures(shelf, mark),
        "photographed": any(shown_with(shelf, mark, form) for form in mark.forms.values()) or bool(mark.pictures),
        "care": [note for note in shelf.guide.care.values() if mark.id in note.marks],
        "also": _also(shelf, mark),
    }


def _dated(shelf: Shelf, mark: Mark) -> Value:
    """Return where on the part a date of its making stands, and how long before the car that is; empty for none."""
    if not mark.date_on_it:
        return ""
    days = value_of("part_before", shelf.guide.overrides) if mark.dated_before is None else mark.dated_before
    return sentence("pages.mark.dated", where=mark.date_on_it, length=duration(days))


def _chooser(mark: Mark) -> str:
    """Return what the chooser of two forms goes by in the browser, as JSON; "" where all have pages of their own."""
    if all(pair.neighbours for pair in pairs_of(mark)):
        return ""
    return json.dumps({"bits": LEAST_BITS, "usual": USUAL, "least": LEAST, "differs": WORDS, "asked": mark.ask})


def _also(shelf: Shelf, mark: Mark) -> list[dict[str, Any]]:
    """Return what a part is called elsewhere, by language, each name once: ``{"lead", "lang", "names"}``."""
    by_language: dict[str, list[str]] = {"": [], "us": []}
    for name in mark.also:
        language, said = name_elsewhere(name)
        by_language.setdefault(language, []).append(said)
    plain = {name.casefold() for name in by_language[""]}
    by_language["us"] = [name for name in by_language["us"] if name.casefold() not in plain]
    leads = {"us": shelf.say("pages.mark.also_american"), "de": shelf.say("pages.mark.also_german")}
    return [
        {
            "lead": leads.get(language, ""),
            "lang": "en-US" if language == "us" else language,
            "names": tuple(dict.fromkeys(names)),
        }
        for language, names in by_language.items()
        if names
    ]


def _form(shelf: Shelf, mark: Mark, form: Form, courses: Sequence[Course], at: int) -> dict[str, Any]:
    spans = spans_of(shelf, courses, form)
    fittings = fittings_said(shelf.guide, form)
    if not form.dates_a_car or (form.is_option and fittings):  # an option's own sentence says when it was offered
        spans = []
    return {
        "n": at + 1,
        "form": form,
        "pointed": pointed_out(shelf, form),
        "lines": form_lines(shelf, form),
        "credit": credited(shelf, form.picture),
        "pictures": shown_with(shelf, mark, form),
        "spans": spans,
        "spare": spare_said(form),
        "fittings": fittings,
        "scope": "" if spans else upper_first(scope_said(shelf.guide, form.scope)),
        "counts": [count_said(shelf.guide, one) for one in form.counts] or [sentence("pages.count.unknown")],
    }


def _seen(shelf: Shelf, mark: Mark) -> Value:
    """Return how many cars seen were looked at for this mark; empty for none."""
    seen = _looked_at(shelf, mark.id)
    return upper_first(sentence("pages.mark.seen_says", n=seen, cars=count(seen))) if seen else ""


@answered
def _helpful(shelf: Shelf, mark: str) -> Value:
    return shelf.limits.helpful.get(mark, "")


@answered
def _looked_at(shelf: Shelf, mark: str) -> int:
    return shelf.tally.marks[mark].looked_at if shelf.tally and mark in shelf.tally.marks else 0


@answered
def _told(shelf: Shelf, mark: str) -> Sequence[Follows]:
    return shelf.tally.marks[mark].follows if shelf.tally and mark in shelf.tally.marks else ()


def _followed(mark: Mark, one: Follows) -> Value:
    """Return which of its cars' numbers a change follows, and by how many cars that is told."""
    names = {"new": mark.forms[one.new].name, "old": mark.forms[one.old].name}
    if not one.places:
        return sentence("pages.mark.follows.untold", **names)
    places = [sentence("pages.mark.follows.by", kind=by.kind, n=by.out, of=by.of) for by in one.places]
    way = "even" if one.kind is None else "one"
    return sentence(f"pages.mark.follows.{way}", **names, kind=one.kind or "", places=all_of(places))


def _bands(shelf: Shelf, courses: Sequence[Course]) -> list[dict[str, Any]]:
    drawn = [
        course for course in courses if any(form.dates_a_car for form in course.forms()) and _timed(shelf, [course])
    ]
    axes = [axis_of(shelf, course) for course in drawn]
    bands = []
    for course, axis, below in zip(drawn, axes, [*axes, None][1:], strict=True):
        told = told_spells(shelf, course)
        spells, words = [one.drawn for one in told], shelf.words.tell(band_said(shelf, course, told))
        svg = render_band(strip_of(shelf, axis), spells, words, axis=axis != below)
        scope = course_cars_said(shelf, course)
        if all(form.is_option for form in course.forms()):
            scope = sentence(
                "pages.mark.band_option" if scope else "pages.mark.band_option_all",
                form=spells[0].name,
                scope=lower_first(scope),
            )
        bands.append({"scope": scope, "svg": svg})
    return bands


def _timed(shelf: Shelf, courses: Sequence[Course]) -> bool:
    """Tell whether any of these courses has an end within production."""
    return any(one.drawn.starts or one.drawn.ends for course in courses for one in told_spells(shelf, course))


def _statements(shelf: Shelf, mark: Mark, notes: Notes) -> list[dict[str, Any]]:
    """Return what each source says and what became of it here, form by form."""
    ruled = {ruling.statement: at for at, ruling in enumerate(mark.rulings)}
    aside = {clash.set_aside: clash for clash in _clashes(shelf, mark)}
    order = list(mark.forms)
    rows = []
    for at, statement in sorted(enumerate(mark.statements), key=lambda pair: order.index(pair[1].form)):
        ruling = mark.rulings[ruled[at]] if at in ruled else None
        if ruling is not None:
            standing = _ruled(shelf.guide, ruling)
        elif at in aside:
            standing = sentence(f"pages.statement.{aside[at].standing}")
        elif (mark.id, at) in shelf.limits.unused:
            standing = sentence(f"pages.statement.{shelf.limits.unused[mark.id, at]}")
        elif (mark.id, at) in shelf.limits.corroborated:
            standing = ""
        else:
            standing = sentence("pages.statement.stands")
        source = shelf.guide.sources.get(statement.source)
        notes.number(statement.source)  # listed with those that reasons rest on
        rows.append(
            {
                "form": mark.forms[statement.form],
                "claim": claim_said(shelf.guide, statement),
                "citation": citation_said(source, statement.page),
                "source": source,
                "part": source_id(statement.source),
                "standing": standing,
                "corrected": sentence(
                    "pages.correct.statement",
                    form=mark.forms[statement.form].name,
                    says=claim_said(shelf.guide, statement),
                    source=citation_said(source, statement.page),
                ),
                "note": statement.note,
                "printed": _printed(shelf, statement),
                "ruling": ruling_id(mark.id, ruled[at]) if ruling is not None else "",
                "how": shelf.limits.corroborated.get((mark.id, at), ""),
                "echo": repeats_said(shelf.guide, echo_of(shelf.guide, statement)),
            }
        )
    return rows


def _ruled(guide: Guide, ruling: Ruling) -> Value:
    """Return what a ruling makes of its statement: set aside, or read as another time or of fewer cars."""
    if ruling.sets_aside:
        return sentence("pages.statement.aside")
    read = [when_said(guide, ruling.read_when)] if ruling.read_when is not None else []
    if ruling.read_scope is not None:
        read.append(sentence("pages.statement.read_scope", scope=scope_said(guide, ruling.read_scope)))
    return sentence("pages.statement.read_as", read=all_of(read))


def _printed(shelf: Shelf, statement: Statement) -> str:
    """Return what the paper prints, where that is not what the statement says anyway."""
    said = when_said(shelf.guide, statement.when) if statement.when is not None else ""
    return "" if statement.printed == shelf.words.tell(said) else statement.printed


def _clashes(shelf: Shelf, mark: Mark) -> list[Clash]:
    return [clash for clash in shelf.limits.clashes if clash.mark == mark.id]


def _clash(shelf: Shelf, clash: Clash) -> dict[str, Any]:
    mark = shelf.guide.marks[clash.mark]
    statement = mark.statements[clash.set_aside]
    ruling = mark.rulings[clash.ruled] if clash.ruled is not None else None
    way = "one_day" if clash.standing is Standing.CLASH and not clash.short_by_days else clash.standing
    return {
        "says": sentence(
            f"pages.mark.clash.{way}",
            stated=statement_said(shelf.guide, statement),
            short=duration(clash.short_by_days),
        ),
        "unruled": sentence(f"pages.mark.unruled.{clash.standing}"),
        "chain": [*(step.says for step in clash.chain), *(one.message for one in clash.more)],
        "equal": clash.equal_reliability,
        "ruling": ruling,
        "ruling_id": ruling_id(mark.id, clash.ruled) if clash.ruled is not None else "",
    }


PAGE = page_each("mark", lambda guide: guide.marks, _context)
