"""cars-seen/*.csv: records of real cars looked at, one a line, any number of files; and *.json, as the key hands in.

What one of many people noted stops no guide: a cell that cannot be read is set aside with a warning that offers the
right word, and the rest of its line is kept.

Beside the columns below every further kind of number has one, under its kind or its series' name, and every mark has
one under its id, with the form's id in it: two forms joined by ``+`` when both are there or one cannot tell which;
``changed``, ``none`` or ``cannot-tell`` as in the key.
`` own`` after it says that the part is believed the car's own, `` not own`` that it is not. Which lines are about
one car, `one_car` says.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import field, replace
from typing import ClassVar, NamedTuple

from guide.facts.records.fields import Field, Typed, key, open_record, record, record_of
from guide.facts.records.handed_in import is_one, read_handed_in
from guide.facts.records.heard import adds_up, heard_headings, is_unknown, meant_by, without_remark
from guide.facts.records.marks import Mark
from guide.facts.records.one_car import Disagreement, Joined, Noted, Report, join_cars
from guide.facts.records.readers import date_only, day, lately, series_id, source_id, text, yes_no
from guide.facts.records.scopes import dimensions
from guide.facts.records.series import Series
from guide.facts.records.splits import refer_to_value
from guide.facts.records.withdrawn import is_withdrawn, say_unmet
from guide.facts.text.csv_tables import Table, TableRow, read_table, settle_dates
from guide.facts.text.desk import Desk
from guide.facts.text.meant import id_meant, nearest
from guide.facts.text.problem import write
from guide.facts.text.source import Keyed, Node
from guide.facts.values import RESERVED_IDS, CarNumber, NumberFailure, Text, When
from guide.facts.when.numbers import CHASSIS, completions, of_first_kind, of_kind, read_number
from guide.facts.when.whens import car_meant
from guide.finding import Place
from guide.sentence import Sentence, one_of, sentence

__all__ = ["CarSeen", "number_columns", "read_cars_seen"]


@record("car-seen")
class CarSeen:
    """One real car looked at, once or often."""

    CAR: ClassVar = Field("car", text)
    ID: ClassVar = Field("id", text)
    BODY: ClassVar = Field("body", text)  # of a car without a number; otherwise that tells it
    id: str  # stable within the guide
    car: CarNumber | None
    further: tuple[CarNumber, ...] = ()  # its numbers of other kinds, those that could be read
    number_text: str  # as typed, even where it is in no table
    failure: NumberFailure | None
    built: When | None = key(date_only, default=None)
    splits: Mapping[str, str] = field(default_factory=dict)  # hand, market, interior where noted
    reports: tuple[Report, ...] = ()
    UNTOUCHED: ClassVar = Field("untouched", yes_no)
    untouched: bool = False
    # The club's own record, as the remarks: no page tells one car's story.
    SEEN_ON: ClassVar = Field("seen on", lately(day))
    source: str = key(source_id, default="")
    REMARKS: ClassVar = Field("remarks", text)
    ANSWERS: ClassVar = Field("answers", text)
    ANOTHER: ClassVar = Field("another car", yes_no)
    looks: tuple[Place, ...] = ()  # the lines that are about it, in order of day
    sheets: tuple[str, ...] = ()  # the files that these stand in, one to a person
    repeats: tuple[tuple[Place, Place], ...] = ()  # lines that say again what one of them says, each with that
    disagreements: tuple[Disagreement, ...] = ()
    place: Place

    @property
    def numbers(self) -> tuple[CarNumber, ...]:
        """The numbers on it that could be read, the chassis number first."""
        return self.further if self.car is None else (self.car, *self.further)


class _Sheets(NamedTuple):
    """What all sheets of one guide have in common: the values of its splits, what its columns of numbers hold, its
    marks; ``apart`` are the columns that stand beside a record's own keys, ``met`` the answers that could be read so
    far, by mark and answer."""

    splits: Mapping[str, tuple[str, ...] | None]
    columns: Mapping[str, str]
    marks: Mapping[str, Mark]
    apart: Mapping[str, None]
    met: dict[tuple[str, str], _Read]
    taken: dict[str, Text]  # the cars' own ids


class _Read(NamedTuple):
    """What an answer says: all of a `Report` but where it stands; ``where`` names the mark's file."""

    forms: tuple[str, ...]
    kind: str
    own: bool | None
    where: str


def read_cars_seen(
    tables: Iterable[tuple[str, str, bytes]], marks: Mapping[str, Mark], desk: Desk
) -> tuple[CarSeen, ...]:
    """Return the cars of every table (name, path, bytes), in order of their first line."""
    splits = {name: values for name, values in dimensions(desk).items() if name != "series"}
    former = {old: mark.id for mark in marks.values() for old in mark.formerly}
    lines: list[tuple[CarSeen, Noted]] = []
    columns = number_columns(desk.series.values())
    own = [one.name for one in record_of(CarSeen).fields]
    apart = {name: None for name in (*splits, *columns, *marks, *desk.forms) if name not in own}
    known = (*own, *apart)
    sheets = _Sheets(splits, columns, marks, apart, {}, {})
    heard = heard_headings(known, marks, desk)
    for name, path, data in tables:
        if path.endswith(".json"):
            table = read_handed_in(data, path, known, {*splits, CarSeen.BODY.name} - {*marks}, desk)
        else:
            table = read_table(data, path, known, desk, former, heard, lenient=True)
        with desk.setting_aside():
            lines += _lines(name, table, sheets, desk)
    order = {mark: number for number, mark in enumerate(marks)}
    lines = [(car, noted) for car, noted in lines if not is_withdrawn(noted.numbers, noted.number_text, desk)]
    say_unmet(desk)
    return tuple(
        _joined(car, [lines[at][0] for at in car.lines], order) for car in join_cars([noted for _, noted in lines])
    )


def _joined(car: Joined, lines: Sequence[CarSeen], order: Mapping[str, int]) -> CarSeen:
    """Return one car of the lines about it, in order of day; ``order`` is that of the marks."""
    first = min(lines, key=lambda line: (line.place.file, line.place.line))
    chassis = [line.car for line in lines if line.car is not None]
    return replace(
        first,
        car=max(chassis, key=lambda one: len(one.suffix), default=None),
        further=tuple(dict.fromkeys(one for line in lines for one in line.further)),
        built=next((line.built for line in reversed(lines) if line.built is not None), None),
        source=next((line.source for line in reversed(lines) if line.source), ""),
        splits=car.splits,
        reports=tuple(sorted(car.reports, key=lambda report: order[report.mark])),
        untouched=car.untouched,
        looks=tuple(line.place for line in lines),
        sheets=tuple(sorted({line.place.file for line in lines})),
        repeats=tuple(car.repeats),
        disagreements=car.disagreements,
    )


def _lines(name: str, table: Table, sheets: _Sheets, desk: Desk) -> Iterable[tuple[CarSeen, Noted]]:
    for column in ("built", CarSeen.SEEN_ON.name):
        table = settle_dates(table, column, desk)
    for number, line in enumerate(table.rows, start=1):
        if CarSeen.CAR.name in line.cells and adds_up(line.cells[CarSeen.CAR.name], desk):
            desk.refuse("facts.set-aside.adds-up", line.cells[CarSeen.CAR.name])
            continue
        known = _without_unknown(_of_today(line, sheets.splits, desk), sheets.splits, desk)
        car = _car(f"{name}-{number}", known, sheets, desk)
        if car is not None:
            yield car


def _of_today(line: TableRow, splits: Mapping[str, tuple[str, ...] | None], desk: Desk) -> TableRow:
    """Return a line with what its body and its trim are called now, where they stand by ids of old."""
    ids: dict[str, Collection[str]] = {CarSeen.BODY.name: desk.series, "interior": splits.get("interior") or ()}
    now = {name: desk.of_today(line.cells[name], known) for name, known in ids.items() if name in line.cells}
    return replace(line, cells={**line.cells, **now})


def _without_unknown(line: TableRow, splits: Collection[str], desk: Desk) -> TableRow:
    """Return a line without the cells about the whole car that say, in other words, that it is not known."""
    unknown = [
        column
        for column in (*splits, CarSeen.BODY.name, "built", "untouched", CarSeen.SEEN_ON.name, CarSeen.CAR.name)
        if column in line.cells and is_unknown(line.cells[column], desk)
    ]
    for column in unknown:
        desk.refuse("facts.set-aside.not-known", line.cells[column], column=column)
    return TableRow({name: cell for name, cell in line.cells.items() if name not in unknown}, line.place, line.refused)


def _car(made_id: str, line: TableRow, sheets: _Sheets, desk: Desk) -> tuple[CarSeen, Noted] | None:
    splits, columns, marks, apart, _, taken = sheets
    cells = ((column, cell) for column, cell in line.cells.items() if column not in apart)
    pairs: list[tuple[Text, Node]] = [(Text(column, cell.place), cell) for column, cell in cells]
    typed = open_record(CarSeen, Keyed(tuple(pairs), line.place), desk, also=apart)
    if typed is None:
        return None
    car_id = typed.find(CarSeen.ID) or Text(made_id, line.place)
    if car_id in taken:
        first = (taken[car_id].place, sentence("facts.related.first"))
        desk.find("facts.repeated-key.car", car_id.place, related=(first,), id=repr(car_id))
        car_id = Text(made_id, line.place)
    taken[str(car_id)] = car_id
    noted = typed.find(CarSeen.CAR)
    one, *others = [Text(part.strip(), noted.place) for part in noted.split("+")] if noted else [None]
    car, failure, number_text = _number(one, "", desk)
    also = (_number(other, "", desk)[0] for other in others)
    further = (*(number for number in also if number is not None), *_further(line, columns, marks, desk))
    if car is not None and car.series not in of_first_kind(desk.series):
        further, car = (car, *further), None
    body = typed.find(CarSeen.BODY)
    if body is not None and CarSeen.BODY.name not in marks and not _is_number_of_body(body, columns, desk):
        series_id.read(body, desk)
    made = typed.make(
        id=str(car_id),
        car=car,
        further=further,
        number_text=number_text,
        failure=failure,
        splits=_splits({**_whole_car(typed, splits), **line.cells}, splits, desk),
        reports=_reports(typed, line, sheets, desk),
    )
    if made is None:
        return None
    return made, Noted(
        numbers=made.numbers,
        number_text=number_text,
        day=typed.find(CarSeen.SEEN_ON),
        splits=made.splits,
        reports=made.reports,
        untouched=typed.find(CarSeen.UNTOUCHED),
        remarks=typed.find(CarSeen.REMARKS) or "",
        another=bool(typed.find(CarSeen.ANOTHER)),
        place=made.place,
    )


def number_columns(every: Iterable[Series]) -> dict[str, str]:
    """Return the columns that a further number of a car may stand in, each with its kind: its kind, its series' id or
    its name."""
    series = {one.id: one for one in every}
    first = of_first_kind(series)
    further = [one for name, one in series.items() if name not in first]
    return {column: one.kind for one in further for column in (one.kind, one.id, str(one.name), *one.formerly)}


def _is_number_of_body(cell: Text, columns: Mapping[str, str], desk: Desk) -> bool:
    """Tell whether a cell under `body` holds the number of the body and not which body the car has."""
    return CarSeen.BODY.name in columns and cell not in desk.series


def _further(
    line: TableRow, columns: Mapping[str, str], marks: Mapping[str, Mark], desk: Desk
) -> tuple[CarNumber, ...]:
    """Return a car's numbers of other kinds, in the order of its columns."""
    found = []
    for column, kind in columns.items():
        cell = line.cells.get(column)
        if cell is None or column in marks or (column == CarSeen.BODY.name and cell in desk.series):
            continue
        number, _, _ = _number(cell, kind, desk)
        found += [number] if number is not None else []
    return tuple(found)


def _number(typed: Text | None, kind: str, desk: Desk) -> tuple[CarNumber | None, NumberFailure | None, str]:
    if typed is None:
        return None, None, ""
    table = of_kind(desk.built_numbers, kind) if kind else desk.built_numbers
    read = read_number(typed, table)
    if isinstance(read, CarNumber):
        return read, None, str(typed)
    if not desk.series_complete or not desk.series:
        return None, read, str(typed)
    if read is NumberFailure.BEYOND_KNOWN:
        desk.refuse("facts.seen-not-in-tables.beyond", typed)
    elif read is NumberFailure.NOT_IN_TABLES:
        desk.refuse("facts.seen-not-in-tables", typed)
    elif read in (NumberFailure.REGISTRATION, NumberFailure.NOT_A_NUMBER) and (meant := car_meant(typed, table)):
        desk.refuse("facts.seen-number-unread.letter", typed, kind=kind or CHASSIS, better=meant[0], letters=meant[1])
    elif read is NumberFailure.REGISTRATION:
        desk.refuse("facts.seen-registration", typed)
        return None, read, ""
    elif read is NumberFailure.SHORT and (whole := completions(typed, table)):
        desk.refuse("facts.seen-number-unread.short", typed, kind=kind or CHASSIS, cars=one_of(whole[:4]))
    elif isinstance(alone := read_number(without_remark(typed), table), CarNumber):
        desk.refuse("facts.seen-number-unread.remark", typed, kind=kind or CHASSIS, better=alone.written)
    elif read not in (NumberFailure.OUTSIDE, NumberFailure.NEVER_BUILT):  # of the latter all are told at the run
        desk.refuse("facts.seen-number-unread", typed, kind=kind or CHASSIS, why=sentence(f"facts.found.{read}"))
    return None, read, str(typed)


def _whole_car(typed: Typed[CarSeen], splits: Collection[str]) -> dict[str, Text]:
    """Return what pasted answers say of the car as a whole: its splits and its trim."""
    pasted = typed.find(CarSeen.ANSWERS) or Text("", typed.place)
    pairs = (part.partition("=") for part in pasted.split())
    return {name: Text(value, pasted.place) for name, _, value in pairs if name in splits and is_one(value)}


def _splits(cells: Mapping[str, Text], splits: Mapping[str, tuple[str, ...] | None], desk: Desk) -> dict[str, str]:
    found = {}
    for split, values in splits.items():
        cell = cells.get(split)
        if cell is None:
            continue
        if split == "interior":
            if id_meant(cell) in (values or ()):  # "Tan cloth", as people write it
                cell = Text(id_meant(cell), cell.place)
            known = desk.refer(cell, values, "facts.set-aside.unknown-interior", "interiors.yml")
        elif values is not None and cell not in values and (near := nearest(cell, values)):
            known = False
            desk.refuse("facts.unknown-split-value", cell, put_right=write(near), where="guide.yml", of=split)
        else:
            known = refer_to_value(cell, split, values, desk)
        if known:
            found[split] = str(cell)
    return found


def _reports(typed: Typed[CarSeen], line: TableRow, sheets: _Sheets, desk: Desk) -> tuple[Report, ...]:
    """Return what was found at each mark; what is said of the car as a whole stands apart."""
    marks, whole = sheets.marks, {*sheets.splits, CarSeen.BODY.name} - {*sheets.marks}
    answers = [(name, cell) for name, cell in line.cells.items() if name in marks]
    pasted = typed.find(CarSeen.ANSWERS) or Text("", line.place)
    for part in pasted.split():
        mark, equals, answer = part.partition("=")
        if not equals:
            desk.find("facts.set-aside.bad-answer", pasted.place, found=repr(part))
        elif mark not in whole:
            answers.append((mark, Text(answer, pasted.place)))
    reports: dict[str, Report] = {}
    of_old = {old: mark for mark in marks.values() for old in mark.formerly}
    for name, answer in answers:
        mark_named = of_old.get(name) or marks.get(name)
        if mark_named is None:
            desk.mark(Text(name, answer.place))
            continue
        report = _report(mark_named, answer, sheets, desk)
        if report is None:
            continue
        if mark_named.id in reports:
            first = (reports[mark_named.id].place, sentence("facts.related.first"))
            desk.find("facts.repeated-key.answer", answer.place, related=(first,), mark=mark_named.id)
        reports.setdefault(mark_named.id, report)
    order = {mark: number for number, mark in enumerate(marks)}
    return tuple(sorted(reports.values(), key=lambda report: order[report.mark]))


def _report(mark: Mark, answer: Text, sheets: _Sheets, desk: Desk) -> Report | None:
    """Return what an answer says of a mark, None where that cannot be read; many cars show the same."""
    read = sheets.met.get((mark.id, answer)) or _answer_read(mark, answer, sheets.marks, desk)
    if read is None:
        return None
    sheets.met[mark.id, answer] = read
    for form in read.forms:
        desk.refer_to("form", form, answer.place, read.where)
    return Report(mark=mark.id, forms=read.forms, kind=read.kind, own=read.own, place=answer.place)


def _answer_read(mark: Mark, answer: Text, marks: Collection[str], desk: Desk) -> _Read | None:
    match = re.fullmatch(r"(.*?)(?:\s+(not own|own))?", answer, re.IGNORECASE | re.DOTALL)
    assert match
    said, whose, parts = match[1], match[2] or "", [part.strip().casefold() for part in match[1].split("+")]
    own, where = whose.casefold() == "own" if whose else None, f"marks/{mark.id}.yml"
    if len(parts) == 1 and parts[0] in RESERVED_IDS:
        return _Read((), parts[0], own, where)
    former = {old: form.id for form in mark.forms.values() for old in form.formerly}
    named = [former.get(part, part) for part in parts]
    unknown = [Text(form, answer.place) for form in named if form not in mark.forms]
    if any(form in (desk.forms.get(mark.id) or ()) for form in unknown):
        return None  # it is there, and could not be read
    if unknown:
        known = (*mark.forms, *sorted(RESERVED_IDS))
        if (instead := _column_instead(mark, answer, marks, desk)) is not None:
            desk.refuse("facts.unknown-form", answer, put_right=instead, where=where)
        elif (meant := meant_by(said, mark, desk)) is not None:
            own_said = f" {whose}" if whose and meant in mark.forms else ""
            desk.refuse("facts.unknown-form", answer, put_right=write(f"{meant}{own_said}"), where=where)
        else:
            desk.refer(unknown[0], known, "facts.unknown-form", where)
        return None
    forms = tuple(form for form in mark.forms if form in named)
    return _Read(forms, "form" if len(forms) == 1 else "several", own, where)


def _column_instead(mark: Mark, answer: Text, marks: Collection[str], desk: Desk) -> Sentence | None:
    """Return where a number belongs that stands in the column of a mark called as its kind is; None for no number."""
    columns = number_columns(desk.series.values())
    kind = columns.get(mark.id, "")
    if not kind or not isinstance(read_number(answer, of_kind(desk.built_numbers, kind)), CarNumber):
        return None
    free = [name for name, of in columns.items() if of == kind and name not in marks]
    if not free:
        return sentence("facts.unknown-form.number.unnamed", column=mark.id, kind=kind)
    return sentence("facts.unknown-form.number", column=mark.id, instead=free[0])
