"""Every kind of page, listed once; adding a kind is one file and one line here.

`PAGES` is in the order in which the guide is read; `FILES` are the data files that pages' scripts load and
people download: each entry gives output names and bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from guide.pages.kinds import (
    about,
    area,
    atoz,
    car,
    care,
    downloads,
    editions,
    field_sheet,
    fits,
    how_we_know,
    interior,
    key,
    look_for,
    mark,
    missing,
    nobody_makes,
    notes,
    part_numbers,
    period,
    record,
    search_page,
    seen,
    sheet,
    sheets,
    side_by_side,
    sources,
    start,
    tally,
    tell_apart,
    tell_forms_apart,
    timeline,
    vocabulary,
    walkround,
)
from guide.pages.parts import lent
from guide.pages.shelf import Address, Page, Shelf

__all__ = ["CARRIED", "FILES", "PAGES", "places_of"]

PAGES: tuple[Page, ...] = (
    start.PAGE,
    key.PAGE,
    walkround.PAGE,
    record.PAGE,
    fits.PAGE,
    car.PAGE,
    side_by_side.PAGE,
    notes.PAGE,
    sheets.PAGE,
    sheet.PAGE,
    area.INDEX,
    area.PAGE,
    mark.PAGE,
    period.INDEX,
    period.PAGE,
    interior.INDEX,
    interior.PAGE,
    timeline.PAGE,
    tell_apart.INDEX,
    tell_apart.PAGE,
    tell_forms_apart.PAGE,
    care.PAGE,
    part_numbers.PAGE,
    nobody_makes.PAGE,
    tally.PAGE,
    tally.EDITOR,
    seen.PAGE,
    look_for.PAGE,
    field_sheet.PAGE,
    sources.PAGE,
    how_we_know.PAGE,
    vocabulary.PAGE,
    atoz.PAGE,
    search_page.PAGE,
    downloads.PAGE,
    editions.PAGE,
    about.PAGE,
    missing.PAGE,
)

CARRIED = ("key", "card", "mark", "period")  # the kinds of page that the single file may hold

FILES: tuple[Callable[[Shelf], Mapping[str, bytes]], ...] = (
    key.data_files,
    walkround.data_files,
    side_by_side.data_files,
    car.data_files,
    search_page.data_files,
    sheets.data_files,
    downloads.data_files,
    timeline.data_files,
    lent.data_files,
)


def places_of(shelf: Shelf, pages: tuple[Page, ...] = PAGES) -> dict[tuple[str, str], Address]:
    """Return where every page stands, by kind and id, in the order of the listing."""
    return {(address.kind, address.id): address for page in pages for address in page.addresses(shelf)}
