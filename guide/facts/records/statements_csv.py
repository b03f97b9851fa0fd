"""statements.csv: the statements of marks/*.yml, one a line, for those who keep them in a spreadsheet.

Each line is turned into the record that YAML would have given, so types and findings are the same.
"""

from __future__ import annotations

from guide.facts.records.fields import Field, Record
from guide.facts.records.readers import text
from guide.facts.records.references import read_form_ref
from guide.facts.records.scopes import dimensions
from guide.facts.records.statements import CHANGE, STATEMENT, changes_of_row, statements_of_row
from guide.facts.text.csv_tables import Table, TableRow, read_table, settle_dates
from guide.facts.text.desk import Desk
from guide.facts.text.problem import nearest
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import FormRef, Statement, StatementKind, Text
from guide.finding import Place

__all__ = ["COLUMNS", "FILE", "read_statements_csv"]

FILE = "statements.csv"
_CHANGES = "changes"
_KINDS = (*(str(kind) for kind in StatementKind), _CHANGES)
MARK = Field("mark", text, "the mark's id", True)
FORM = Field("form", text, "the form's id, or form/2 for its second spell", True)
KIND = Field("kind", text, f"one of {', '.join(_KINDS)}", True)
WHEN = Field("when", text, "a date, a car, `start` or `end`")
OTHER = Field(
    "other",
    text,
    "for before, after and together with: the other form, as mark/form; for changes: the form that begins",
)
_SHARED = ("source", "page", "printed", "share", "old stock", "the last ever", "the first ever", "note")
_BY_KEY = {field.key: field for field in STATEMENT.fields}
COLUMNS = Record(
    "a line of statements.csv",
    "statements.csv; beside these a column for each split, `series` and "
    "`interior` says which cars it speaks of, several divided by +",
    (MARK, FORM, KIND, WHEN, OTHER, *(_BY_KEY[key] for key in _SHARED)),
)


def read_statements_csv(data: bytes, desk: Desk) -> dict[str, tuple[Statement, ...]]:
    """Return the statements of the table by mark, in its order."""
    scopes = tuple(dimensions(desk))
    known = (*(field.key for field in COLUMNS.fields), *scopes)
    table: Table = settle_dates(read_table(data, FILE, known, desk), "when", desk)
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
    missing = [field for field in COLUMNS.fields if field.required and field.key not in table.headings]
    for field in missing if table.headings or table.rows else ():
        desk.say(
            "missing-key",
            Place(FILE),
            f"expected a column `{field.key}`, found none",
            f"write {field.key} at the head of its column in the first line: {field.means}",
        )
    return not missing


def _needed(row: TableRow, key: str, desk: Desk) -> Text | None:
    cell = row.cells.get(key)
    if cell is None and key not in row.refused:
        desk.say(
            "missing-key",
            row.place,
            f"expected a cell under `{key}`, found none",
            f"fill it in, or take the line out: {next(f for f in COLUMNS.fields if f.key == key).means}",
        )
    return cell


def _ref(row: TableRow, desk: Desk) -> FormRef | None:
    mark, form = _needed(row, "mark", desk), _needed(row, "form", desk)
    if mark is None or form is None or not desk.mark(mark):
        return None
    return read_form_ref(form, desk, str(mark))


def _statements(row: TableRow, ref: FormRef, scopes: tuple[str, ...], desk: Desk) -> tuple[Statement, ...]:
    kind = _needed(row, "kind", desk)
    if kind is None:
        return ()
    name = kind.casefold()
    if name not in _KINDS:
        near = nearest(name, _KINDS)
        desk.say(
            "unknown-choice",
            kind.place,
            f"expected one of {', '.join(_KINDS)}, found {str(kind)!r}",
            f"write {near}" if near else f"write one of {', '.join(_KINDS)}",
        )
        return ()
    pairs: list[tuple[Text, Node]] = []
    if name == _CHANGES:
        pairs.append((Text("from", row.cells["form"].place), Text(f"{ref.form}/{ref.spell}", row.cells["form"].place)))
        claim = {"to": _needed(row, "other", desk), "at": _needed(row, "when", desk)}
    else:
        dated = name in ("first", "last", "seen")
        claim = {name: _needed(row, "when" if dated else "other", desk)}
    for key, cell in claim.items():
        if cell is None:
            return ()
        pairs.append((Text(key, cell.place), cell))
    pairs += [(Text(key, row.cells[key].place), row.cells[key]) for key in _SHARED if key in row.cells]
    scope = _scope(row, scopes)
    if scope is not None:
        pairs.append((Text("for", scope.place), scope))
    node = Keyed(tuple(pairs), row.place)
    opened = (CHANGE if name == _CHANGES else STATEMENT).open(node, desk)
    if opened is None:
        return ()
    if name == _CHANGES:
        return () if opened.incomplete else changes_of_row(opened, ref.mark, desk)
    return statements_of_row(opened, ref, desk)


def _scope(row: TableRow, scopes: tuple[str, ...]) -> Keyed | None:
    pairs: list[tuple[Text, Node]] = []
    for name in scopes:
        cell = row.cells.get(name)
        if cell is not None:
            values = tuple(Text(part.strip(), cell.place) for part in cell.split("+"))
            pairs.append((Text(name, cell.place), Items(values, cell.place)))
    return Keyed(tuple(pairs), pairs[0][0].place) if pairs else None
