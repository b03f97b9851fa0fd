"""Which cars the maker's own table by numbers gives a model year; a table by days is read in `guide.limits.moments`."""

from __future__ import annotations

from collections.abc import Iterator

from guide.limits.positions import SeriesLine

__all__ = ["cars_of_model_year", "rows_of_model_years"]


def rows_of_model_years(line: SeriesLine) -> Iterator[tuple[str, int, int]]:
    """Yield each row of a series' table by numbers: the year, its first and last position.

    A row without a last goes on until the next begins.
    """
    table = line.series.model_years
    firsts = [line.position(row.first) for row in table if row.first is not None]
    for row in table:
        first = None if row.first is None else line.position(row.first)
        if first is None:
            continue
        last = None if row.last is None else line.position(row.last)
        if row.last is None:
            last = min((at - 1 for at in firsts if at is not None and at > first), default=line.cars - 1)
        if last is not None and last >= first:
            yield row.year, first, last


def cars_of_model_year(line: SeriesLine, year: str) -> tuple[int, int] | None:
    """Return the first and last position that the table of a series gives a model year; None where it gives none."""
    rows = [row for row in rows_of_model_years(line) if row[0] == year]
    return (min(first for _, first, _ in rows), max(last for _, _, last in rows)) if rows else None
