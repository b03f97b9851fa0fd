"""statements.csv: the statements of marks/*.yml, one a line, for those who keep them in a spreadsheet.

Each line is turned into the record that YAML would have given, so types and findings are the same.
"""

from __future__ import annotations

from guide.facts.records.fields import Field, Record, open_record, record_of
from guide.facts.records.readers import text, unknown_choice
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import dimensions
from guide.facts.records.statements import CHANGE, Statement, StatementKind, changes_of, statements_of
from guide.facts.text.csv_tables import Table, TableRow, read_table, settle_dates
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.values import FormRef, Text
from guide.finding import Place

__all__ = ["CHANGES", "COLUMNS", "FILE", "read_statements_csv"]

FILE = "statements.csv"
CHANGES = "changes"  # the kind of a row that says what gave way to what, and when
_KINDS = (*(str(kind) for kind in StatementKind), CHANGES)
MARK = Field("mark", text, needed=True)
FORM = Field("form", text, needed=True)
KIND = Field("kind", text, needed=True)
WHEN = Field("when", text)
OTHER = Field("other", text)
_SHARED = record_of(Statement).shared(
    "source", "page", "printed", "repeats", "share", "old stock", "the last ever", "the first ever", "note"
)
COLUMNS = Record("statement-row", (MARK, FORM, KIND, WHEN, OTHER, *_SHARED))


def read_statements_csv(data: bytes, desk: Desk) -> dict[str, tuple[Statement, ...]]:
    """Return the statements of the table by mark, in its order."""
    scopes = tuple(dimensions(desk))
    known = (*(one.name for one in COLUMNS.fields), *scopes)
    table: Table = settle_dates(read_table(data, FILE, known, desk), WHEN.name, desk)
    found: dict[str, list[Statement]] = {}
    if not _has_needed_columns(table, desk):
        return {}
    for row in table.rows:
        ref = _ref(row, desk)
        if ref is not None:
            found.setdefault(ref.mark, []).extend(_statements(row, ref, scopes, desk))
    return {mark: tuple(statements) for mark, statements in found.items()}


def _has_needed_columns(table: Table, desk: Desk) -> bool:
    """Tell whether every column that a line needs is there; one that is not is said once, and not at every line."""
    missing = [one for one in COLUMNS.fields if one.needed and one.name not in table.headings]
    for one in missing if table.headings or table.rows else ():
        desk.find("facts.missing-key.column", Place(FILE), column=one.name, means=COLUMNS.means(one))
    return not missing


def _needed(row: TableRow, column: Field[Text], desk: Desk) -> Text | None:
    cell = row.cells.get(column.name)
    if cell is None and column.name not in row.refused:
        desk.find("facts.missing-key.cell", row.place, column=column.name, means=COLUMNS.means(column))
    return cell


def _ref(row: TableRow, desk: Desk) -> FormRef | None:
    mark, form = _needed(row, MARK, desk), _needed(row, FORM, desk)
    if mark is None or form is None or not desk.mark(mark):
        return None
    return read_form_ref(form, desk, str(mark))


def _statements(row: TableRow, ref: FormRef, scopes: tuple[str, ...], desk: Desk) -> tuple[Statement, ...]:
    kind = _needed(row, KIND, desk)
    if kind is None:
        return ()
    name = kind.casefold()
    if name not in _KINDS:
        desk.problem(unknown_choice(kind, _KINDS), kind.place)
        return ()
    if name == CHANGES:
        form = Text(f"{ref.form}/{ref.spell}", row.cells[FORM.name].place)
        claim = {"from": form, "to": _needed(row, OTHER, desk), "at": _needed(row, WHEN, desk)}
    else:
        claim = {name: _needed(row, WHEN if StatementKind(name).is_dated else OTHER, desk)}
    pairs: list[tuple[Text, Node]] = []
    for typed_as, cell in (claim | {one.name: row.cells[one.name] for one in _SHARED if one.name in row.cells}).items():
        if cell is None:
            return ()
        pairs.append((Text(typed_as, cell.place), cell))
    scope = _scope(row, scopes)
    if scope is not None:
        pairs.append((Text("for", scope.place), scope))
    declared = CHANGE if name == CHANGES else None
    typed = open_record(Statement, Keyed(tuple(pairs), row.place), desk, declared=declared)
    if typed is None:
        return ()
    return changes_of(typed, ref.mark, desk) if name == CHANGES else statements_of(typed, ref, desk)


def _scope(row: TableRow, scopes: tuple[str, ...]) -> Keyed | None:
    pairs: list[tuple[Text, Node]] = []
    for name in scopes:
        cell = row.cells.get(name)
        if cell is not None:
            values = tuple(Text(part.strip(), cell.place) for part in cell.split("+"))
            pairs.append((Text(name, cell.place), Items(values, cell.place)))
    return Keyed(tuple(pairs), pairs[0][0].place) if pairs else None
