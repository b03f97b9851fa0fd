"""Going to see one: the buyer's sheet by chassis number or by what an advert tells, and all ready-made sheets."""

from __future__ import annotations

from typing import Any

from guide.dating.key import Cars
from guide.facts.types import Mark
from guide.limits.changeovers import Turn, turns_of
from guide.pages.parts.beside_a_car import drawn_at, former_ids
from guide.pages.parts.expected import most_telling
from guide.pages.parts.page_data import script_of
from guide.pages.parts.sheet_parts import BOTH, DRAWN, LINE_LETTERS, LINED, LINES, PLACES, hints_of, sheet_parts
from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE", "data_files"]


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    colours = list(dict.fromkeys(interior.colour for interior in guide.interiors.values()))
    first, last = guide.production.first.year, guide.production.last.year
    return {
        "periods": list(guide.periods.values()),
        "interiors": list(guide.interiors.values()),
        "series": list(guide.ordered_series.values()),
        "colours": colours,
        "years": list(range(first, last + 4)),
        "months": [f"{month:02}" for month in range(1, 13)],
        **sheet_parts(shelf, list(guide.marks.values())),
    }


def data_files(shelf: Shelf) -> dict[str, bytes]:
    """Return what the sheet by number needs besides the model: names, answers, hints, and which marks tell most."""
    return {"data/sheets.js": script_of("sheetData", _data(shelf))}


def _data(shelf: Shelf) -> dict[str, Any]:
    guide = shelf.guide
    places = {str(reach): at for at, (_, reaches) in enumerate(PLACES) for reach in reaches}
    return {
        "places": [shelf.say(f"pages.sheet.place.{place}") for place, _ in PLACES],
        "marks": [_mark(shelf, mark, places[str(mark.reach)]) for mark in guide.marks.values()],
        "ranking": {period: most_telling(shelf, Cars(period=period)) for period in guide.periods},
        "formerly": former_ids(guide),
        "colours": {interior.id: interior.colour for interior in guide.interiors.values()},
        "words": shelf.words.chosen(
            ("words.", "pages.sheet.", "pages.sheets.", "pages.number.", "dating.", "pages.look.", "pages.key.lost")
        ),
        "car": guide.car,
        "room": {"drawn": DRAWN, "both": BOTH, "lined": LINED, "letters": LINE_LETTERS, "lines": LINES},
    }


def _mark(shelf: Shelf, mark: Mark, place: int) -> dict[str, Any]:
    return {
        "id": mark.id,
        "name": mark.name,
        "place": place,
        "path": shelf.places["mark", mark.id].path,
        "hints": hints_of(shelf, mark),
        "turns": {
            f"{old}|{new}": [old, new, *_turn(shelf, turn)] for (old, new), turn in turns_of(shelf.limits, mark).items()
        },
        "forms": {
            form.id: {"name": form.name, "answer": form.answer, "picture": drawn_at(shelf, mark, form)}
            for form in mark.forms.values()
        },
    }


def _turn(shelf: Shelf, turn: Turn) -> list[str | None]:
    """Return how one form gave way to the next: how that is told, its cars, its first and last day or none."""
    days = [None, None] if turn.days is None else [day.isoformat() for day in turn.days]
    return [turn.way, shelf.words.one_of(turn.cars), *days]


PAGE = one_page("sheets", "pages.sheets.title", _context)
