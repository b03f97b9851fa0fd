"""Marks begun from one table, as clubs have them today: a line for each form, a mark's own cells on its first line.

Columns: mark and form, and as they are there area, question, look, reach, survives, answer, describes, first, last,
seen and source. What a mark needs and the table does not say is filled in, for the editor to better; what is off in a
cell is found when the guide is read, with its line.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Mapping

from guide.command.calls import CallIsOff
from guide.facts.text.csv_tables import read_table
from guide.facts.text.desk import Desk
from guide.facts.text.meant import id_meant
from guide.finding import Finding
from guide.words.say import Words

__all__ = ["COLUMNS", "files_from"]

_OF_MARK = ("question", "look", "reach", "survives")
_STATED = ("first", "last", "seen")
COLUMNS = ("area", "mark", *_OF_MARK, "form", "answer", "describes", *_STATED, "source")
_Row = Mapping[str, str]


def files_from(table: pathlib.Path, words: Words) -> tuple[dict[str, str], tuple[Finding, ...]]:
    """Return the files that a table of marks comes to, by name, and what of it was not understood.

    Raises CallIsOff for one that cannot be read.
    """
    try:
        data = table.read_bytes()
    except OSError as error:
        raise CallIsOff.of("start.no-table", file=str(table), why=error.strerror or str(error)) from None
    desk = Desk()
    read = read_table(data, table.name, COLUMNS, desk)
    if not {"mark", "form"} <= set(read.headings):
        raise CallIsOff.of("start.not-marks", file=str(table), columns=", ".join(COLUMNS))
    marks: dict[str, list[_Row]] = {}
    name = ""
    for row in read.rows:
        name = str(row.cells.get("mark", name))
        if name:
            marks.setdefault(name, []).append({key: str(cell) for key, cell in row.cells.items()})
    if not marks:
        raise CallIsOff.of("start.not-marks", file=str(table), columns=", ".join(COLUMNS))
    files = {f"marks/{_id(mark)}.yml": _mark(mark, rows, words) for mark, rows in marks.items()}
    files |= {"areas.yml": _areas(marks, words), "sources.yml": _sources(marks.values(), words)}
    return files, desk.findings


def _id(name: str) -> str:
    return id_meant(name) or "part"


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _mark(name: str, rows: list[_Row], words: Words) -> str:
    told = {key: next((row[key] for row in rows if row.get(key)), "") for key in _OF_MARK}
    forms = {_id(row.get("form", "")): row for row in rows}
    lines = [f"name: {_quoted(name)}"]
    lines.append(f"question: {_quoted(told['question'] or words.say('command.start.question', mark=name))}")
    lines.append(f"look: {_quoted(told['look'] or words.say('command.start.look', mark=name))}")
    lines += [f"reach: {told['reach'] or 'outside'}", f"survives: {told['survives'] or 'most'}"]
    lines += [f"order: [{', '.join(forms)}]", "forms:"]
    for form, row in forms.items():
        said = row.get("form", form)
        lines += [f"  {form}:", f"    name: {_quoted(said)}", f"    answer: {_quoted(row.get('answer', said))}"]
        lines.append(f"    describes: {_quoted(row.get('describes', said))}")
        stated = [(kind, row[kind]) for kind in _STATED if row.get(kind)]
        if stated:
            source = f", source: {_id(row['source'])}" if row.get("source") else ""
            lines += ["    stated:", *(f"      - {{{kind}: {_quoted(when)}{source}}}" for kind, when in stated)]
    return "\n".join((*lines, ""))


def _areas(marks: Mapping[str, list[_Row]], words: Words) -> str:
    areas: dict[str, list[str]] = {}
    for mark, rows in marks.items():
        area = next((row["area"] for row in rows if row.get("area")), words.say("command.start.area"))
        areas.setdefault(area, []).append(_id(mark))
    lines = (f"{_id(area)}: {{name: {_quoted(area)}, marks: [{', '.join(ids)}]}}" for area, ids in areas.items())
    return "\n".join((*lines, ""))


def _sources(marks: Iterable[list[_Row]], words: Words) -> str:
    named = dict.fromkeys(row["source"] for rows in marks for row in rows if row.get("source"))
    lines: list[str] = []
    for name in ("register", *named):  # the example's numbers rest on the register
        keys = ("kind: paper", "trust: fair", f"about: {_quoted(words.say('command.start.source'))}")
        lines += [f"{_id(name)}:", f"  name: {_quoted(name)}", *(f"  {key}" for key in keys)]
    return "\n".join((*lines, ""))
