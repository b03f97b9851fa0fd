"""A blank sheet for the field: the columns of the cars seen turned on their side, six cars to a sheet, to print."""

from __future__ import annotations

from guide.pages.shelf import Context, Shelf, one_page

__all__ = ["PAGE"]

CARS = 6  # columns that a sheet of A4 or Letter has room for


def _context(shelf: Shelf) -> Context:
    guide = shelf.guide
    further = dict.fromkeys(one.kind for one in guide.further_numbers.values())
    whole: list[tuple[str, list[str]]] = [("car", []), *((kind, []) for kind in further), ("seen on", [])]
    whole += [("untouched", ["yes", "no"]), *((split.id, list(split.values)) for split in guide.splits.values())]
    whole += [("interior", list(guide.interiors))] if guide.interiors else []
    areas = [
        (area, [(guide.marks[mark], list(guide.marks[mark].forms)) for mark in area.marks if mark in guide.marks])
        for area in guide.areas.values()
    ]
    return {"whole": whole, "areas": [(area, marks) for area, marks in areas if marks], "cars": CARS}


PAGE = one_page("field-sheet", "pages.field_sheet.title", _context)
