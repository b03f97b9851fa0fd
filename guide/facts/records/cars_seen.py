"""cars-seen/*.csv: records of real cars looked at, one a line, any number of files.

Beside the columns below every mark has one under its id, with the form's id in it: two forms joined by
``+`` when both are there or one cannot tell which; ``changed``, ``none`` or ``cannot-tell`` as in the key.
`` own`` after it says that the part is believed the car's own, `` not own`` that it is not. Two lines may
claim one number: both are kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from guide.facts.records.fields import Field, Record, Row
from guide.facts.records.readers import date_only, day, source_id, text, yes_no
from guide.facts.text.csv_tables import TableRow, read_table, settle_dates
from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed, Node
from guide.facts.types import RESERVED_IDS, CarNumber, CarSeen, Mark, NumberFailure, Report, Text
from guide.facts.when.numbers import read_number

__all__ = ["COLUMNS", "read_cars_seen"]

CAR = Field("car", text, "its chassis number as it stands on the car; in no table, it is kept all the same")
ID = Field("id", text, "an id of its own; left out, made of the file's name and the line")
BUILT = Field("built", date_only, "when it was built, where a paper of its own says so")
UNTOUCHED = Field("untouched", yes_no, "`yes` when the whole car is believed untouched")
SEEN_ON = Field("seen on", day, "the day it was looked at")
SOURCE = Field("source", source_id, "whose word it is")
REMARKS = Field("remarks", text, "anything more, and nobody's name")
ANSWERS = Field("answers", text, "the line of answers that the key gives, as `switches=toggle tail-lamps=round`")
COLUMNS = Record(
    "a car seen",
    "cars-seen/*.csv; beside these a column for each split and `interior`, and one for each mark under "
    "its id. Columns that begin with `private` are not read",
    (CAR, ID, BUILT, UNTOUCHED, SEEN_ON, SOURCE, REMARKS, ANSWERS),
)
INTERIOR = "interior"


@dataclass(frozen=True, slots=True)
class _Names:
    """What a table may name: marks and forms by the ids of today and of old, and the values of each split."""

    marks: Mapping[str, Mark]
    former_marks: Mapping[str, str]
    splits: Mapping[str, tuple[str, ...] | None]

    def mark(self, name: str) -> Mark | None:
        return self.marks.get(self.former_marks.get(name, name))


def read_cars_seen(
    tables: Iterable[tuple[str, str, bytes]], marks: Mapping[str, Mark], desk: Desk
) -> tuple[CarSeen, ...]:
    """Return the cars of every table (name, path, bytes), in order."""
    splits: dict[str, tuple[str, ...] | None] = {
        split.id: tuple(split.values) for split in (desk.splits or {}).values()
    }
    splits[INTERIOR] = None if desk.interiors is None else tuple(desk.interiors)
    former = {old: mark.id for mark in marks.values() for old in mark.formerly}
    names = _Names(marks, former, splits)
    cars: list[CarSeen] = []
    taken: dict[str, Text] = {}
    for name, path, data in tables:
        known = (*(field.key for field in COLUMNS.fields), *splits, *marks, *desk.forms)
        table = read_table(data, path, known, desk, former)
        for column in (BUILT.key, SEEN_ON.key):
            table = settle_dates(table, column, desk)
        for number, line in enumerate(table.rows, start=1):
            car = _car(f"{name}-{number}", line, names, taken, desk)
            if car is not None:
                cars.append(car)
    return tuple(cars)


def _car(made_id: str, line: TableRow, names: _Names, taken: dict[str, Text], desk: Desk) -> CarSeen | None:
    pairs: list[tuple[Text, Node]] = [(Text(key, cell.place), cell) for key, cell in line.cells.items()]
    row = COLUMNS.open(Keyed(tuple(pairs), line.place), desk, also=(*names.splits, *names.marks, *desk.forms))
    if row is None:
        return None
    car_id = row.find(ID) or Text(made_id, line.place)
    if car_id in taken:
        desk.say(
            "repeated-key",
            car_id.place,
            f"the id {str(car_id)!r} stands twice among the cars seen",
            "give each car its own",
            ((taken[car_id].place, "the first one"),),
        )
        return None
    taken[str(car_id)] = car_id
    car, failure, typed = _number(row.find(CAR), desk)
    return CarSeen(
        id=str(car_id),
        car=car,
        number_text=typed,
        failure=failure,
        built=row.find(BUILT),
        splits=_splits(line, names, desk),
        reports=_reports(row, line, names, desk),
        untouched=row.get(UNTOUCHED, False),
        seen_on=row.find(SEEN_ON),
        source=row.get(SOURCE, ""),
        remarks=row.get(REMARKS, ""),
        place=line.place,
    )


def _number(typed: Text | None, desk: Desk) -> tuple[CarNumber | None, NumberFailure | None, str]:
    if typed is None:
        return None, None, ""
    read = read_number(typed, desk.table)
    if isinstance(read, CarNumber):
        return read, None, str(typed)
    if not desk.series_complete or not desk.series:
        return None, read, str(typed)
    if read is NumberFailure.NOT_IN_TABLES:
        desk.say(
            "seen-not-in-tables",
            typed.place,
            f"the number {str(typed)!r} of a car seen is not in the tables",
            "compare it with the car's plate; it is shown as it is, and counts for nothing",
        )
    elif read is NumberFailure.REGISTRATION:
        desk.say(
            "seen-registration",
            typed.place,
            f"expected a chassis number, found {str(typed)!r}, which looks like a road registration",
            "a registration is nobody's business here: write the chassis number, or leave it blank",
        )
        return None, read, ""
    elif read is not NumberFailure.OUTSIDE:
        desk.say(
            "seen-number-unread",
            typed.place,
            f"expected a chassis number, found {str(typed)!r} ({read.value.replace('-', ' ')})",
            "write it as its series does, or leave the cell blank",
        )
    return None, read, str(typed)


def _splits(line: TableRow, names: _Names, desk: Desk) -> dict[str, str]:
    found = {}
    for split, values in names.splits.items():
        cell = line.cells.get(split)
        if cell is None:
            continue
        if split == INTERIOR:
            known = desk.refer(cell, values, "facts.unknown-interior", "interiors.yml")
        else:
            known = desk.refer(cell, values, "facts.unknown-split-value", "guide.yml", split)
        if known:
            found[split] = str(cell)
    return found


def _reports(row: Row, line: TableRow, names: _Names, desk: Desk) -> tuple[Report, ...]:
    said = [(Text(name, cell.place), cell) for name, cell in line.cells.items() if name in names.marks]
    for part in re.findall(r"\S+", row.get(ANSWERS, "")):
        place = row.need(ANSWERS).place
        mark, equals, answer = part.partition("=")
        if not equals:
            desk.say(
                "bad-answer",
                place,
                f"expected answers as mark=form, found {part!r}",
                "paste the line that the key gives under its result",
            )
        else:
            said.append((Text(mark, place), Text(answer, place)))
    reports: dict[str, Report] = {}
    for name, answer in said:
        mark_read = names.mark(name)
        if mark_read is None:
            desk.mark(name)
            continue
        report = _report(mark_read, answer, desk)
        if report is None:
            continue
        if mark_read.id in reports:
            desk.say(
                "repeated-key",
                answer.place,
                f"the mark {mark_read.id} is answered twice for one car",
                "leave one answer",
                ((reports[mark_read.id].place, "the first one"),),
            )
        reports.setdefault(mark_read.id, report)
    order = {mark: number for number, mark in enumerate(names.marks)}
    return tuple(sorted(reports.values(), key=lambda report: order[report.mark]))


def _report(mark: Mark, answer: Text, desk: Desk) -> Report | None:
    match = re.fullmatch(r"(.*?)(?:\s+(not own|own))?", answer, re.IGNORECASE | re.DOTALL)
    assert match
    own = None if match[2] is None else match[2].casefold() == "own"
    parts = [part.strip().casefold() for part in match[1].split("+")]
    if len(parts) == 1 and parts[0] in RESERVED_IDS:
        return Report(mark=mark.id, forms=(), kind=parts[0], own=own, place=answer.place)
    former = {old: form.id for form in mark.forms.values() for old in form.formerly}
    forms: list[str] = []
    for part in parts:
        form = former.get(part, part)
        if form not in mark.forms:
            if not desk.refer(
                Text(form, answer.place),
                (*mark.forms, *sorted(RESERVED_IDS)),
                "facts.unknown-form",
                f"marks/{mark.id}.yml",
            ):
                return None
            return None
        if form not in forms:
            forms.append(form)
    order = list(mark.forms)
    forms.sort(key=order.index)
    return Report(
        mark=mark.id, forms=tuple(forms), kind="form" if len(forms) == 1 else "several", own=own, place=answer.place
    )
