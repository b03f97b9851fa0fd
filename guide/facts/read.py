"""From a content folder to a `Guide`: every file read once, every problem collected in one run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from guide.facts.records import (
    areas,
    care,
    cars_seen,
    guide_file,
    interiors,
    marks,
    periods,
    series,
    sources,
    splits,
    statements_csv,
    together,
)
from guide.facts.records import vocabulary as words
from guide.facts.records.former import check_formerly
from guide.facts.text.desk import Desk
from guide.facts.text.folder import Folder, open_folder
from guide.facts.text.source import Keyed, Node
from guide.facts.types import Area, CareNote, Guide, Mark, Statement, Text
from guide.finding import Finding, Place

__all__ = ["Reading", "read_guide"]

_FINE_ENOUGH_DAYS = 91


@dataclass(frozen=True, slots=True)
class Reading:
    """What reading a folder gave: the guide, or None when it cannot be made; findings; every file's lines."""

    guide: Guide | None
    findings: tuple[Finding, ...]
    lines: Mapping[str, tuple[str, ...]]


def read_guide(folder: Path) -> Reading:
    """Return the guide that a content folder holds, with every problem found in it.

    Nothing is raised for what an editor can put right; a guide is made as far as it can be, so that the
    checks can go on and say all they have to say in the same run.
    """
    desk = Desk()
    guide = _read(Path(folder), desk)
    return Reading(guide, desk.findings, dict(desk.lines))


def _read(root: Path, desk: Desk) -> Guide | None:
    folder = open_folder(root, desk)
    if not folder.has("guide.yml"):
        desk.say(
            "no-guide",
            Place("guide.yml"),
            "expected a file guide.yml in the content folder, found none",
            "name the right folder after --content, or begin a new guide with `start`",
        )
        return None
    main = folder.node_of("guide.yml", desk)
    if main is None:
        return None
    if isinstance(main, Keyed):
        language = main.get("language")
        if isinstance(language, Text) and language:
            desk.language = str(language)
        desk.overrides = guide_file.read_overrides(main.get("defaults"), desk)
        desk.splits = splits.read_splits(main.get("splits"), desk)
    else:
        desk.splits = None
    nodes = {
        name: folder.node_of(f"{name}.yml", desk) for name in ("sources", "periods", "interiors", "areas", "words")
    }
    for name in ("sources", "periods", "interiors", "areas"):
        setattr(desk, name, _ids_of(nodes[name], folder.has(f"{name}.yml")))
    all_sources = sources.read_sources(nodes["sources"], desk)
    _read_series(folder, desk)
    all_periods = periods.read_periods(nodes["periods"], desk)
    read = guide_file.read_guide_file(main, desk)
    all_interiors = interiors.read_interiors(nodes["interiors"], desk)
    mark_nodes = _mark_nodes(folder, desk)
    all_areas = areas.read_areas(nodes["areas"], desk)
    data = folder.bytes_of(statements_csv.FILE, desk) if folder.has(statements_csv.FILE) else None
    more = statements_csv.read_statements_csv(data, desk) if data is not None else {}
    all_marks = _read_marks(mark_nodes, all_areas, more, desk)
    check_formerly(all_periods.values(), desk)
    check_formerly(all_interiors.values(), desk)
    check_formerly(all_marks.values(), desk)
    for mark in all_marks.values():
        check_formerly(mark.forms.values(), desk)
    if read is None:
        return None
    changed = together.read_changed_together(read.row.find(guide_file.CHANGED_TOGETHER), desk)
    renewed = together.read_renewed_together(read.row.find(guide_file.RENEWED_TOGETHER), desk)
    all_care = _read_care(folder, desk)
    all_words = words.read_words(nodes["words"], desk)
    tables = [
        (name, path, data) for name, path in folder.of("cars-seen") if (data := folder.bytes_of(path, desk)) is not None
    ]
    cars = cars_seen.read_cars_seen(tables, all_marks, desk)
    about = (folder.text_of("about.md", desk) or "") if folder.has("about.md") else ""
    if read.row.incomplete or read.production is None or not desk.series:
        if not desk.series and desk.series_complete:
            desk.say(
                "no-series",
                Place("guide.yml"),
                "expected a number series in numbers/, found none",
                "add a file such as numbers/coupe.yml",
            )
        return None
    row = read.row
    return Guide(
        title=row.need(guide_file.TITLE),
        car=row.need(guide_file.CAR),
        subtitle=row.get(guide_file.SUBTITLE, ""),
        edition=row.need(guide_file.EDITION),
        language=row.get(guide_file.LANGUAGE, "en-GB"),
        licence=row.get(guide_file.LICENCE, ""),
        contact=row.get(guide_file.CONTACT, ""),
        production=read.production,
        fine_enough_days=row.get(guide_file.FINE, _FINE_ENOUGH_DAYS),
        mask_numbers=row.get(guide_file.MASK, True),
        splits=desk.splits or {},
        shares=read.shares,
        closures=read.closures,
        series=desk.series,
        sources=all_sources,
        areas=all_areas,
        marks=all_marks,
        periods=all_periods,
        interiors=all_interiors,
        changed_together=changed,
        renewed_together=renewed,
        cars_seen=cars,
        care=all_care,
        words=all_words,
        overrides=desk.overrides,
        about=about.strip(),
        place=row.place,
    )


def _ids_of(node: Node | None, there: bool) -> tuple[str, ...] | None:
    """Return the ids of a file before it is read: none when there is no file, None when it cannot be read."""
    if isinstance(node, Keyed):
        return tuple(str(key) for key, _ in node.pairs)
    return None if there else ()


def _read_series(folder: Folder, desk: Desk) -> None:
    desk.series_complete = not folder.has_unnamed("numbers")
    for series_id, path in folder.of("numbers"):
        node = folder.node_of(path, desk)
        made = series.read_series(series_id, node, desk) if node is not None else None
        if made is None:
            desk.series_complete = False
        else:
            desk.add_series(made)


def _mark_nodes(folder: Folder, desk: Desk) -> dict[str, Node]:
    nodes = {}
    desk.marks_complete = not folder.has_unnamed("marks")
    for mark, path in folder.of("marks"):
        node = folder.node_of(path, desk)
        desk.forms[mark] = marks.forms_of(node)
        if node is not None:
            nodes[mark] = node
    return nodes


def _read_marks(
    nodes: Mapping[str, Node], all_areas: Mapping[str, Area], more: Mapping[str, tuple[Statement, ...]], desk: Desk
) -> dict[str, Mark]:
    """Return the marks in walking order: by area, then in the area's own order."""
    area_of = {mark: area.id for area in all_areas.values() for mark in area.marks}
    read = {
        mark: marks.read_mark(mark, area_of.get(mark, ""), node, more.get(mark, ()), desk)
        for mark, node in nodes.items()
    }
    for mark in nodes:
        if mark not in area_of and desk.areas is not None:
            desk.say(
                "mark-without-area",
                Place(f"marks/{mark}.yml"),
                f"the mark {mark} stands in no area",
                "add it to `marks:` of an area in areas.yml",
            )
    return {mark: made for mark in area_of if (made := read.get(mark)) is not None}


def _read_care(folder: Folder, desk: Desk) -> dict[str, CareNote]:
    notes = {}
    for note_id, path in folder.of("care"):
        node = folder.node_of(path, desk)
        note = care.read_care(note_id, node, desk) if node is not None else None
        if note is not None:
            notes[note_id] = note
    return notes
