"""From a content folder to a `Guide`: every file read once, every problem collected in one run.

The steps stand in `STEPS`, in order. Each says what it gives, what it needs of those before it, and what it settles on
the desk for all that come after. First it is settled what there is (every file opened, the ids in it), so that a record
may refer to one that is read later; then each kind of record is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from guide.facts.records.areas import read_areas
from guide.facts.records.care import CareNote
from guide.facts.records.cars_seen import read_cars_seen
from guide.facts.records.editions import KeptEdition, read_editions
from guide.facts.records.every import KEYS
from guide.facts.records.fields import read_keyed, read_record, record_of, typed_for
from guide.facts.records.guide_file import read_overrides
from guide.facts.records.marks import forms_of, read_mark
from guide.facts.records.model_years import ModelYear, read_model_years
from guide.facts.records.periods import Period
from guide.facts.records.runs import known_ends
from guide.facts.records.series import read_series
from guide.facts.records.sources import read_sources, source_ids
from guide.facts.records.splits import read_splits
from guide.facts.records.statements_csv import FILE as STATEMENTS
from guide.facts.records.statements_csv import read_statements_csv
from guide.facts.records.vocabulary import Word
from guide.facts.records.withdrawn import is_withdrawn, read_withdrawn
from guide.facts.text.desk import Desk
from guide.facts.text.folder import ABOUT, ABOUT_IN, Folder, open_folder
from guide.facts.text.source import Keyed, Node, items_of
from guide.facts.types import Area, Form, Guide, Interior, Mark, Series, Source, Statement, Text
from guide.facts.when.numbers import number_table
from guide.finding import Finding, Place
from guide.sentence import listed, sentence

__all__ = ["STEPS", "GuideRead", "ReadingStep", "read_guide"]


@dataclass(frozen=True, slots=True)
class GuideRead:
    """What reading a folder gave: the guide, or None when it cannot be made; findings; every file's lines; every id
    that was looked for, as `Desk.references` has it."""

    guide: Guide | None
    findings: tuple[Finding, ...]
    lines: Mapping[str, tuple[str, ...]]
    references: tuple[tuple[str, Place, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ReadingStep:
    """One step of reading: ``read`` takes the folder, the desk and what is needed, and returns what is given.

    ``settles`` names what it writes on the desk; no step before it may ask the desk for that.
    """

    gives: str
    needs: tuple[str, ...]
    read: Callable[..., Any]
    settles: tuple[str, ...] = ()


def read_guide(folder: Path, today: date | None = None, language: str = "") -> GuideRead:
    """Return the guide that a content folder holds, with every problem found in it.

    ``language`` is the one of its languages in which it is read; left out, its first.

    ``today`` is the day after which nothing can have been written or seen, a year that the edition names aside; where
    it is left out, nobody minds days to come.

    Nothing is raised for what an editor can put right; a guide is made as far as it can be, so that the
    checks can go on and say all they have to say in the same run.
    """
    desk = Desk(KEYS, today)
    opened = open_folder(Path(folder), desk)
    if not opened.has("guide.yml"):
        desk.find("facts.no-guide", Place("guide.yml"))
    main = opened.node_of("guide.yml", desk)
    if main is not None:
        main = _in_language(main, language, desk)
    given: dict[str, Any] = {"main": main}
    for step in STEPS if main is not None else ():
        given[step.gives] = step.read(opened, desk, *(given[name] for name in step.needs))
    return GuideRead(given.get("guide"), desk.findings, dict(desk.lines), tuple(desk.references))


def _in_language(main: Node, asked: str, desk: Desk) -> Node:
    """Settle in which language the guide is read; return guide.yml in it, with the address of the site that it makes.

    The site in the first language stands at the guide's address, each other in a folder there that is named after it.
    """
    own, address, also = (typed_for(record_of(Guide), main, key) for key in ("language", "address", "also in"))
    first = str(own) if isinstance(own, Text) and own else desk.language
    root = f"{address.rstrip('/')}/" if isinstance(address, Text) and address else ""
    desk.language, desk.languages = first, (first, *(str(one) for one in items_of(also) if isinstance(one, Text)))
    desk.sites = tuple((tag, root if tag == first else f"{root}{tag}/") for tag in desk.languages) if root else ()
    if asked and asked not in desk.languages:
        choices = listed(desk.languages)
        desk.find("facts.unknown-choice.asked-language", main.place, found=repr(asked), choices=choices, tag=asked)
    elif asked and isinstance(main, Keyed):
        desk.language = asked
        said = {"language": asked, "address": dict(desk.sites).get(asked, "")}
        pairs = [
            (name, Text(said.get(name, ""), value.place) if said.get(name) else value) for name, value in main.pairs
        ]
        main = Keyed(tuple(pairs), main.place, main.braces)
    if len(desk.languages) == 1:
        desk.languages, desk.sites = (), ()
    return desk.in_language(main)


# What there is


def _overrides(_: Folder, desk: Desk, main: Node) -> dict[str, float]:
    """Return the guide's own constants; its language is read with them."""
    language = typed_for(record_of(Guide), main, "language")
    for said in _edition_said(main):
        if year := re.search(r"(?<!\d)20\d\d(?!\d)", said):
            desk.be_of(int(year[0]))
    if isinstance(language, Text) and language:
        desk.language = str(language)
    desk.overrides = read_overrides(typed_for(record_of(Guide), main, "defaults"), desk)
    return desk.overrides


def _edition_said(main: Node) -> list[Text]:
    """Return what is typed of the edition: its name, and its day where that is given."""
    typed = typed_for(record_of(Guide), main, "edition")
    both = [typed] if not isinstance(typed, Keyed) else [typed.get("name"), typed.get("date")]
    return [one for one in both if isinstance(one, Text)]


def _editions(folder: Folder, desk: Desk, main: Node) -> tuple[KeptEdition, ...]:
    return read_editions(folder, desk, next(iter(_edition_said(main)), ""))


def _splits(_: Folder, desk: Desk, main: Node) -> dict[str, Any]:
    desk.splits = read_splits(typed_for(record_of(Guide), main, "splits"), desk) if isinstance(main, Keyed) else None
    return dict(desk.splits or {})


def _opened(folder: Folder, desk: Desk) -> dict[str, Node | None]:
    """Return the files that map ids to records, by name, having settled which ids there are."""
    names = ("sources", "periods", "interiors", "areas", "words")
    nodes = {name: folder.node_of(f"{name}.yml", desk) for name in names}
    desk.ids = {name: _ids_of(node, folder.has(f"{name}.yml"), desk) for name, node in nodes.items()}
    for node in nodes.values():
        for key, value in node.pairs if isinstance(node, Keyed) else ():
            desk.note_former(str(key), value)
    desk.ids["sources"] = source_ids(nodes["sources"], desk) or desk.ids["sources"]
    return nodes


def _ids_of(node: Node | None, there: bool, desk: Desk) -> tuple[str, ...] | None:
    """Return the ids of a file before it is read: none when there is no file, None when it cannot be read."""
    if isinstance(node, Keyed):
        return tuple(desk.settled_id(key) for key, _ in node.pairs)
    return None if there else ()


def _opened_marks(folder: Folder, desk: Desk) -> dict[str, Node]:
    """Return the files of marks by id, having settled which forms there are and how many spells each has."""
    nodes = {}
    desk.marks_complete = not folder.has_unnamed("marks")
    for mark, path in folder.of("marks"):
        node = folder.node_of(path, desk)
        desk.forms[mark] = forms_of(node, desk)
        desk.note_former(mark, node)
        forms = typed_for(record_of(Mark), node, "forms")
        for form, value in forms.pairs if isinstance(forms, Keyed) else ():
            desk.note_former(str(form), value)
        if node is not None:
            nodes[mark] = node
    return nodes


def _numbers(folder: Folder, desk: Desk) -> Mapping[str, Series]:
    """Return the number series. Each is on the desk as soon as it is read."""
    desk.series_complete = not folder.has_unnamed("numbers")
    for series_id, path in folder.of("numbers"):
        node = folder.node_of(path, desk)
        desk.note_former(series_id, node)
        made = read_series(series_id, node, desk) if node is not None else None
        if made is None:
            desk.series_complete = False
        else:
            desk.add_series(made)
    return desk.series


def _model_years(_: Folder, desk: Desk, main: Node, _numbers: Mapping[str, Series]) -> tuple[ModelYear, ...]:
    """Return the table of model years by days, having settled which years any table names."""
    rows = read_model_years(typed_for(record_of(Guide), main, "model years"), None, desk)
    desk.model_years = tuple(desk.years_named)
    return rows


def _withdrawn(_: Folder, desk: Desk, main: Node, _numbers: Mapping[str, Series]) -> Mapping[str, Text]:
    desk.withdrawn = read_withdrawn(main, desk)
    return desk.withdrawn


# What is said of it


def _of_file(name: str, read: Callable[[Node | None, Desk], Any]) -> Callable[..., Any]:
    """Return how to read one of the files that map ids to records."""
    return lambda _, desk, opened: read(opened[name], desk)


def _statements(folder: Folder, desk: Desk) -> Mapping[str, tuple[Statement, ...]]:
    data = folder.bytes_of(STATEMENTS, desk)
    before = desk.count
    read = read_statements_csv(data, desk) if data is not None else {}
    desk.lost_statements = desk.count > before or (data is None and folder.has(STATEMENTS))
    return read


def _marks(
    _: Folder,
    desk: Desk,
    opened: Mapping[str, Node],
    areas: Mapping[str, Area],
    statements: Mapping[str, tuple[Statement, ...]],
) -> dict[str, Mark]:
    """Return the marks in walking order: by area, then in the area's own order."""
    area_of = {mark: area.id for area in areas.values() for mark in area.marks}
    read = {
        mark: read_mark(mark, area_of.get(mark, ""), node, statements.get(mark, ()), desk)
        for mark, node in opened.items()
    }
    misnamed = any(
        one.code in ("unknown-mark", "wrong-shape") and one.place.file == "areas.yml" for one in desk.findings
    )
    for mark in opened if not misnamed and desk.ids["areas"] is not None else ():
        if mark not in area_of and mark not in desk.offered:
            desk.find("facts.mark-without-area", Place(opened[mark].place.file), mark=mark)
    return {mark: made for mark in area_of if (made := read.get(mark)) is not None}


def _former(
    _: Folder,
    desk: Desk,
    periods: Mapping[str, Period],
    interiors: Mapping[str, Interior],
    marks: Mapping[str, Mark],
    *others: Mapping[str, Area | Source | CareNote | Word | Series],
) -> None:
    """Check what the ids of old lead to: each to one record of today only."""
    kinds: tuple[Mapping[str, Period | Interior | Mark | Form | Area | Source | CareNote | Word | Series], ...]
    kinds = (periods, interiors, marks, *others)
    for records in (*kinds, *(mark.forms for mark in marks.values())):
        places = {record.id: record.place for record in records.values()}
        for record in records.values():
            for old in record.formerly:
                assert isinstance(old, Text)
                if old in places:
                    here = (places[old], sentence("facts.related.here"))
                    desk.find("facts.former-id-taken", old.place, (here,), old=repr(old), id=record.id)
                places.setdefault(str(old), old.place)


def _care(folder: Folder, desk: Desk) -> dict[str, CareNote]:
    nodes = ((note, folder.node_of(path, desk)) for note, path in folder.of("care"))
    read = (read_record(CareNote, node, desk, id=note) for note, node in nodes if node is not None)
    return {made.id: made for made in read if made is not None}


def _series(_: Folder, desk: Desk, numbers: Mapping[str, Series], *_named_in: Any) -> Mapping[str, Series]:
    """Return the series with what is known of runs without an end, once all that names a car as built is read."""
    named = [car for car in desk.cars_named if not is_withdrawn([car], "", desk)]
    series = {name: known_ends(one, named) for name, one in numbers.items()}
    desk.built_numbers = number_table(series)
    return series


def _cars_seen(folder: Folder, desk: Desk, marks: Mapping[str, Mark], _series: Mapping[str, Series]) -> Any:
    tables = ((name, path, folder.bytes_of(path, desk)) for name, path in folder.of("cars-seen"))
    return read_cars_seen([(name, path, data) for name, path, data in tables if data is not None], marks, desk)


def _about(folder: Folder, desk: Desk) -> str:
    """Return what about.md says, in a further language what about.de.md does; the former where that is not there."""
    named = {found[1]: name for name in folder.files if (found := ABOUT_IN.fullmatch(name))}
    for tag, name in named.items():
        if not any(tag in (one, one.partition("-")[0]) for one in desk.languages[1:]):
            desk.find("facts.file-not-read.about", Place(name), language=tag)
    own = named.get(desk.language) or named.get(desk.language.partition("-")[0])
    if own is not None and desk.language != desk.typed_in:
        return Text((folder.text_of(own, desk) or "").rstrip(), Place(own))
    spoken = desk.typed_in if desk.language != desk.typed_in else ""
    return Text((folder.text_of(ABOUT, desk) or "").rstrip(), Place(ABOUT), spoken)


_RECORDS = (
    "overrides",
    "splits",
    "series",
    "model_years",
    "sources",
    "periods",
    "interiors",
    "areas",
    "marks",
    "care",
    "words",
    "cars_seen",
    "about",
    "editions",
)


def _guide(_: Folder, desk: Desk, main: Node, *records: Any) -> Guide | None:
    """Return the guide, unless it says too little of itself or no number series could be read."""
    guide = read_record(
        Guide, main, desk, sites=desk.sites, languages=desk.languages, **dict(zip(_RECORDS, records, strict=True))
    )
    return guide if desk.series or desk.series_complete else None


STEPS = (
    ReadingStep("overrides", ("main",), _overrides, settles=("language", "languages", "sites", "overrides")),
    ReadingStep("splits", ("main",), _splits, settles=("splits",)),
    ReadingStep("opened", (), _opened, settles=("ids",)),
    ReadingStep("opened_marks", (), _opened_marks, settles=("forms", "marks_complete")),
    ReadingStep("sources", ("opened",), _of_file("sources", read_sources)),
    ReadingStep("numbers", (), _numbers, settles=("series", "series_complete", "number_table")),
    ReadingStep("withdrawn", ("main", "numbers"), _withdrawn, settles=("withdrawn",)),
    ReadingStep("model_years", ("main", "numbers"), _model_years, settles=("model_years",)),
    ReadingStep("periods", ("opened",), _of_file("periods", partial(read_keyed, Period))),
    ReadingStep("interiors", ("opened",), _of_file("interiors", partial(read_keyed, Interior))),
    ReadingStep("areas", ("opened",), _of_file("areas", read_areas)),
    ReadingStep("statements", (), _statements, settles=("lost_statements",)),
    ReadingStep("marks", ("opened_marks", "areas", "statements"), _marks),
    ReadingStep("series", ("numbers", "periods", "interiors", "marks"), _series, settles=("built_numbers",)),
    ReadingStep("care", (), _care),
    ReadingStep("words", ("opened",), _of_file("words", partial(read_keyed, Word))),
    ReadingStep("former", ("periods", "interiors", "marks", "areas", "sources", "care", "words", "series"), _former),
    ReadingStep("cars_seen", ("marks", "series"), _cars_seen),
    ReadingStep("about", (), _about),
    ReadingStep("editions", ("main",), _editions),
    ReadingStep("guide", ("main", *_RECORDS), _guide),
)
