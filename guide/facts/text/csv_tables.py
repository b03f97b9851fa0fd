"""Tables from spreadsheets, read as records: RFC 4180, and what spreadsheets make of it.

- The separator is the one under which most headings are known; a first line ``sep=;`` is obeyed.
- The headings are the first of the first lines that knows most of them: a title may stand above.
- A workbook, whatever its name, is refused: what can be read of it is a table saved from it.
- Windows-1252 is read, and said aloud; UTF-8 with or without a byte order mark is right.
- ``03/04/2024`` is day first or month first: decided by the whole column, refused where nothing decides.
- A cell that a spreadsheet would run as a formula is guarded on the way out by an apostrophe, which is undone here;
  numbers are left alone. Where lists are parted by semicolons a spreadsheet parts a cell of ours there, or at a tab or
  a line end within it, and would run what follows: that is guarded as well. So are the wide signs of East Asia, which
  some spreadsheets take for the narrow ones. `guard_cell` and `bare_cell` are exact opposites. Source: OWASP, "CSV
  Injection"; the parting within cells by trial.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace

from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import write
from guide.facts.text.source import MAX_NODES
from guide.facts.values import Text
from guide.finding import Finding, Place
from guide.sentence import Value, listed, one_of, sentence

__all__ = [
    "Table",
    "TableRow",
    "bare_cell",
    "guard_cell",
    "parse_csv",
    "plain_words",
    "read_table",
    "settle_dates",
    "write_csv",
]

_SEPARATORS = (",", ";", "\t", "|")
_NUMBER = re.compile(r"[+-]?\d+([.,]\d+)?(E[+-]?\d+)?")
_FORMULA = re.compile("'*[=+\\-@\t\r\uff1d\uff0b\uff0d\uff20]")
_WITHIN = "(?='*[=+\\-@\uff1d\uff0b\uff0d\uff20])"
_PARTED, _GUARDED = re.compile(f"([;\t\r\n]){_WITHIN}"), re.compile(f"([;\t\r\n])'{_WITHIN}")
_PRIVATE = re.compile(r"private\b|#", re.IGNORECASE)
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # how packed files, and spreadsheets of old, begin
_FEWEST_PARTED = 3  # cells; what has fewer may be a text with such a sign in it
_TITLES = 20  # lines among which the headings are looked for


@dataclass(frozen=True, slots=True)
class TableRow:
    """One line of a table: its cells that are not blank, by heading."""

    cells: dict[str, Text]
    place: Place
    refused: frozenset[str] = frozenset()  # headings whose cell has had its finding and is left out


@dataclass(frozen=True, slots=True)
class Table:
    """A table's headings (as typed, with their places) and its rows."""

    headings: dict[str, Text]
    rows: tuple[TableRow, ...]


def guard_cell(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula; numbers are left as they are."""
    if _NUMBER.fullmatch(cell):
        return cell
    guarded = _PARTED.sub(r"\1'", cell)
    return f"'{guarded}" if _FORMULA.match(guarded) else guarded


def bare_cell(cell: str) -> str:
    """Return what `guard_cell` was given."""
    if "'" not in cell:
        return cell
    guarded = cell[1:] if cell.startswith("'") and _FORMULA.match(cell[1:]) else cell
    return _GUARDED.sub(r"\1", guarded)


def write_csv(rows: Iterable[Sequence[str]]) -> bytes:
    """Return a table as spreadsheets open it best: UTF-8 with a byte order mark, CRLF, cells guarded."""

    def quoted(cell: str) -> str:
        guarded = guard_cell(cell)
        return '"' + guarded.replace('"', '""') + '"' if re.search(r'[",;\r\n\t]|^\s|\s$', guarded) else guarded

    return ("\ufeff" + "".join(",".join(quoted(cell) for cell in row) + "\r\n" for row in rows)).encode("utf-8")


def parse_csv(text: str, separator: str, file: str) -> tuple[list[list[Text]], list[Finding]]:
    """Return the cells of every record, each with its place; a line with nothing on it is no record.

    RFC 4180: a cell in double quotes may hold separators, line ends and doubled quotes. Blanks belong to
    the cell there; here they are trimmed, as everywhere in the facts.
    """
    rows: list[list[Text]] = []
    row: list[Text] = []
    stops = re.compile(f"[{re.escape(separator)}\n]|\\Z")
    line, line_start, at, cells = 1, 0, 0, 0
    while at <= len(text):
        if not row and (plain := _plain_record(text, at, separator, MAX_NODES - cells)) is not None:
            column = 1
            for part in plain:
                row.append(Text(bare_cell(part.strip()), Place(file, line, column)))
                column += len(part) + 1
            at, line, cells = at + column - 1, line + 1, cells + len(row)
            if any(row):
                rows.append(row)
            row, line_start = [], at
            continue
        place = Place(file, line, at - line_start + 1)
        found = _cell_at(text, at, stops)
        cells += 1
        if found is None:
            return rows, [Finding.of("facts.unclosed-quotes.cell", place)]
        if cells > MAX_NODES:
            return rows, [Finding.of("facts.too-large.cells", place, most=MAX_NODES)]
        cell, stop = found
        quoted = _QUOTED.match(text, at) if text.startswith('"', at) else None
        if quoted is not None and text[quoted.end() : stop].strip():
            return rows, [Finding.of("facts.unclosed-quotes.cell-goes-on", place)]
        row.append(Text(bare_cell(cell.strip()), place))
        ends = text.count("\n", at, stop)
        if ends:
            line, line_start = line + ends, text.rfind("\n", at, stop) + 1
        at = stop + 1
        if stop >= len(text) or text[stop] == "\n":
            if any(row):
                rows.append(row)
            row, line, line_start = [], line + 1, at
    return rows, []


def _plain_record(text: str, at: int, separator: str, most: int) -> list[str] | None:
    """Return the cells of a line without quotes, which most lines are; None for another, and for more than ``most``."""
    end = text.find("\n", at)
    line = text[at:end] if end >= 0 else text[at:]
    return None if '"' in line or line.count(separator) >= most else line.split(separator)


_QUOTED = re.compile(r'"((?:[^"]|"")*)"')


def _cell_at(text: str, at: int, stops: re.Pattern[str]) -> tuple[str, int] | None:
    """Return a cell and where it stops (at a separator, a line end, the end); None when quotes are not closed."""
    opened = text.startswith('"', at)
    quoted = _QUOTED.match(text, at) if opened else None
    if opened and quoted is None:
        return None
    after = quoted.end() if quoted else at
    stop = stops.search(text, after)
    assert stop
    inside = quoted[1].replace('""', '"') if quoted else ""
    return inside + text[after : stop.start()], stop.start()


def read_table(
    data: bytes,
    file: str,
    known: Collection[str],
    desk: Desk,
    former: Mapping[str, str] | None = None,
    heard: Mapping[str, str] | None = None,
    *,
    lenient: bool = False,
) -> Table:
    """Return a table under its line of headings; unknown ones are said and left out.

    ``known`` are the headings that can be read; ``former`` maps headings of old to those of today, ``heard`` whatever
    else people call them, in `plain_words`: that is read, and said. Of a ``lenient`` table a line
    that is wrong stops no guide.
    """
    if data.startswith(_WORKBOOKS):
        desk.find("facts.workbook", Place(file))
        return Table({}, ())
    text = desk.text_of(data, file, of_table=True)
    names = {_plain_heading(name): name for name in known}
    names |= {_plain_heading(old): new for old, new in (former or {}).items()}
    told = re.match(r"sep=(.)\n", text)
    if told:
        text = "\n" + text[told.end() :]  # keeps the count of lines
    separator = told[1] if told else _separator(text, names, heard or {})
    records, wrong = parse_csv(text, separator, file)
    if desk.typed_in != desk.language:
        records = [[Text(cell, cell.place, desk.typed_in) for cell in record] for record in records]
    desk.add(wrong)
    if not records:
        if not wrong and lenient:
            with desk.setting_aside():
                desk.say_empty(file)
        elif not wrong:
            desk.say_empty(file)
        return Table({}, ())
    scores = [_known_among(record, names, heard or {}) for record in records[:_TITLES]]
    if not max(scores):
        if not wrong:
            desk.find("facts.no-headings", records[0][0].place, known=listed(list(known)[:4]))
        return Table({}, ())
    at = scores.index(max(scores))
    columns = _headings(records[at], names, heard or {}, desk)
    with desk.setting_aside() if lenient else nullcontext():
        below = _parted_alike(records[at + 1 :], len(columns), separator, desk)
        read = [_row(record, columns, separator, desk, kept=lenient) for record in below]
    rows = [row for row in read if row is not None]
    headings = {name: cell for name, cell in zip(columns, records[at], strict=True) if name is not None}
    return Table(headings, tuple(rows))


def _plain_heading(heading: str) -> str:
    return re.sub(r"[\s_]+", " ", heading.strip().casefold())


def _row(
    record: list[Text], columns: Sequence[str | None], separator: str, desk: Desk, *, kept: bool
) -> TableRow | None:
    """Return one line. One with more cells than there are headings is read only where it is to be ``kept``: mostly it
    is a text at its end that has the separator in it, but each cell may stand under another's heading."""
    place, extra = record[0].place, next((cell for cell in record[len(columns) :] if cell), None)
    if extra is not None:
        says, width, found = "facts.cells-beyond-heading", len(columns), len(record)
        desk.find(says, place, cells=width, found=found, cell=repr(extra), separator=separator)
        if not kept:
            return None
    cells = {name: cell for name, cell in zip(columns, record, strict=False) if name is not None and cell}
    return TableRow(cells, place)


def _parted_alike(records: list[list[Text]], width: int, separator: str, desk: Desk) -> list[list[Text]]:
    """Return the lines whose cells are parted as the headings are; of the others, all in one cell, it is said once."""
    others = [one for one in _SEPARATORS if one != separator]
    least = max(min(width, _FEWEST_PARTED), 2) - 1
    below, parted = [], []
    for record in records:
        other = "" if any(record[1:]) else next((one for one in others if record[0].count(one) >= least), "")
        if width > 1 and other:
            parted.append((record[0].place, other))
        else:
            below.append(record)
    if parted:
        signs, (place, other) = {"\t": sentence("facts.cells-beyond-heading.tab")}, parted[0]
        between, found = (signs.get(one, f'"{one}"') for one in (separator, other))
        desk.find("facts.cells-beyond-heading.parted", place, separator=between, other=found, lines=len(parted))
    return below


def plain_words(text: str) -> str:
    """Return a text without case and without its signs: what people write of one thing comes out alike."""
    return " ".join(re.findall(r"\w+", text.casefold()))


def _known_among(cells: Iterable[str], names: Mapping[str, str], heard: Mapping[str, str]) -> int:
    """Return how many of some cells are headings."""
    bare = (cell.strip('"') for cell in cells)
    return sum(_plain_heading(cell) in names or plain_words(cell) in heard for cell in bare)


def _separator(text: str, names: Mapping[str, str], heard: Mapping[str, str]) -> str:
    """Return the separator under which a line among the first has most known headings; a comma when none has any."""
    lines = [line for line in text.split("\n", 2 * _TITLES)[: 2 * _TITLES] if line.strip()][:_TITLES]

    def score(separator: str) -> int:
        return max((_known_among(line.split(separator), names, heard) for line in lines), default=0)

    return max(_SEPARATORS, key=score)


def _headings(cells: list[Text], names: Mapping[str, str], heard: Mapping[str, str], desk: Desk) -> list[str | None]:
    """Return the column that each heading means, None for one that is left out."""
    exact = [names.get(_plain_heading(cell)) for cell in cells]
    found: list[str | None] = []
    for cell, name in zip(cells, exact, strict=True):
        meant = name or heard.get(plain_words(cell))
        if meant is None and cell and not _PRIVATE.match(cell) and cell not in desk.misplaced:
            near = nearest(_plain_heading(cell), names)
            offered = names[near] if near else _with_a_word_more(cell, heard)
            desk.find("facts.column-not-read", cell.place, put_right=write(offered), column=repr(cell))
        elif meant is not None and (meant in found or (name is None and meant in exact)):
            desk.find("facts.repeated-key.column", cell.place, column=repr(meant))
            meant = None
        elif name is None and meant is not None:
            desk.find("facts.column-read-as", cell.place, column=repr(cell), meant=meant)
        found.append(meant)
    return found


def _with_a_word_more(heading: str, heard: Mapping[str, str]) -> str | None:
    """Return the one column whose name says all that a heading of several words does, and more: "Inner door handle" for
    a "Door handle"."""
    words = set(plain_words(heading).split())
    meant = {name for other, name in heard.items() if words <= set(other.split())}
    return meant.pop() if len(words) > 1 and len(meant) == 1 else None


_STROKED = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4})")


def settle_dates(table: Table, column: str, desk: Desk) -> Table:
    """Return the table with ``03/04/2024`` of a column written as ISO has it.

    Which comes first, day or month, is one question for the whole column, because a spreadsheet turns only
    those dates round that it can. Full stops between mean day first, as where that is usual.
    """
    stroked = [(row, match) for row in table.rows if (match := _STROKED.fullmatch(row.cells.get(column, "")))]
    stroked = [(row, match) for row, match in stroked if min(int(match[1]), int(match[3])) <= 12]
    day_first = [row for row, match in stroked if int(match[1]) > 12 or match[2] == "."]
    month_first = [row for row, match in stroked if int(match[3]) > 12]
    settled = bool(day_first) != bool(month_first)
    open_ways = [] if day_first or month_first else [row for row, match in stroked if match[1] != match[3]]
    written: dict[Place, TableRow] = {}
    for row, match in stroked:
        cell, others = row.cells[column], {name: other for name, other in row.cells.items() if name != column}
        if settled or match[1] == match[3]:
            day, month = (match[1], match[3]) if day_first else (match[3], match[1])
            iso = Text(f"{match[4]}-{month:0>2}-{day:0>2}", cell.place, cell.language)
            written[row.place] = replace(row, cells={**row.cells, column: iso})
        else:
            if open_ways in ([], [row]):
                _refuse_date(cell, match, day_first, month_first, column, desk)
            elif row is open_ways[0]:  # one question for all of them
                possible, more = one_of(_possible(match)), len(open_ways) - 1
                desk.refuse("facts.day-or-month.column", cell, possible=possible, more=more)
            written[row.place] = replace(row, cells=others, refused=row.refused | {column})
    return replace(table, rows=tuple(written.get(row.place, row) for row in table.rows))


def _refuse_date(
    cell: Text, match: re.Match[str], day_first: list[TableRow], month_first: list[TableRow], column: str, desk: Desk
) -> None:
    related: list[tuple[Place, Value]] = []
    if day_first:
        related.append((day_first[0].cells[column].place, sentence("facts.day-or-month.day-here")))
        related.append((month_first[0].cells[column].place, sentence("facts.day-or-month.month-here")))
    name = "facts.day-or-month.both-ways" if day_first else "facts.day-or-month"
    desk.refuse(name, cell, related=related, possible=one_of(_possible(match)))


def _possible(match: re.Match[str]) -> list[str]:
    """Return the days that a date can mean, the day first and the month first."""
    ways = (match[3], match[1]), (match[1], match[3])
    return [f"{match[4]}-{month:0>2}-{day:0>2}" for month, day in ways if int(month) <= 12]
