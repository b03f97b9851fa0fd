"""Checks for what a reader would miss: pictures, descriptions, and sources that say what they are."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from guide.checks.known import Known, place_of
from guide.facts.records.pictures import is_photograph, own_photograph
from guide.facts.text.meant import id_meant, nearest
from guide.facts.texts import texts_of
from guide.facts.types import Guide, Interior, Series, SplitValue
from guide.finding import Finding, Place

__all__ = [
    "NOT_PICTURES",
    "check_credits",
    "check_descriptions",
    "check_pictures",
    "check_pictures_used",
    "check_plates",
    "check_sources",
    "pictures_named",
    "sources_used",
]

NOT_PICTURES = frozenset({"thumbs.db", "desktop.ini"})  # what a system puts into a folder of pictures by itself


def _pictures(guide: Guide, there: Collection[str]) -> Iterator[tuple[str, str, Place]]:
    """Yield every picture that a record names: what it shows, the file, where the record stands.

    A form that has no drawing, but a photograph of its name, has that; ``there`` are the files of pictures.
    """
    listed = [(guide.title, guide.pictures)]
    for mark in guide.marks.values():
        listed.append((mark.name, mark.pictures))
        for form in mark.forms.values():
            listed.append((form.name, form.pictures))
            own = own_photograph(mark.id, form.id, there)
            if own and form.picture != own:
                yield form.name, own, form.place
            if form.picture in there or not own:
                yield form.name, form.picture, form.place
    yield from ((plate.name or guide.title, plate.picture, plate.place) for plate in guide.frontispiece)
    for shown, pictures in listed:
        yield from ((shown, one.file, one.place) for one in pictures)
    values = (value for split in guide.splits.values() for value in split.values.values())
    records: tuple[Series | Interior | SplitValue, ...] = (*guide.series.values(), *guide.interiors.values(), *values)
    for record in records:
        if record.picture:
            yield record.name, record.picture, record.place


def check_pictures(known: Known) -> Iterator[Finding]:
    """Yield a finding for every picture named that is not in the pictures folder."""
    free = known.pictures - {picture for _, picture, _ in _pictures(known.guide, known.pictures)}
    for shown, picture, place in dict.fromkeys(_pictures(known.guide, known.pictures)):
        if picture in known.pictures:
            continue
        near = _near(picture, free)
        way = "checks.missing-picture.near" if near else "checks.missing-picture"
        yield Finding.of(way, place_of(picture, place), shown=shown, picture=picture, near=near or "")
    for source in known.guide.sources.values():
        if source.scan and not source.is_address and source.scan not in known.pictures:
            place = place_of(source.scan, source.place)
            yield Finding.of("checks.missing-picture.scan", place, shown=source.name, picture=source.scan)


def _near(picture: str, pictures: Collection[str]) -> str | None:
    """Return the picture that is there under nearly that name: another ending, other capitals, another dash."""
    stems = {id_meant(name.rpartition(".")[0]): name for name in sorted(pictures)}
    stem = id_meant(picture.rpartition(".")[0] or picture)
    return stems.get(stem) or stems.get(nearest(stem, stems) or "")


def pictures_named(guide: Guide, there: Collection[str]) -> set[str]:
    """Return every picture that a record names, and those of the files ``there`` that a text does."""
    named = {picture for _, picture, _ in _pictures(guide, there)} | {one.scan for one in guide.sources.values()}
    texts = "\n".join(text for text, _ in texts_of(guide))
    return named | {picture for picture in {*there} - named if picture in texts}


def check_pictures_used(known: Known) -> Iterator[Finding]:
    """Yield a finding for every picture that is there and that nothing names, nor can have meant."""
    named = pictures_named(known.guide, known.pictures)
    meant = {_near(picture, known.pictures - named) for picture in named - known.pictures if picture}
    for picture in sorted(known.pictures - named - meant):
        if not picture.startswith(".") and picture.casefold() not in NOT_PICTURES:
            yield Finding.of("checks.picture-unused", Place(f"pictures/{picture}"), picture=picture)


def check_credits(known: Known) -> Iterator[Finding]:
    """Yield a finding for every photograph shown without the name of its maker, where the guide's licence asks for one.

    Creative Commons Attribution, 4.0, section 3(a)(1)(A): whoever shares keeps the identification of the creator.
    """
    guide = known.guide
    if not guide.licence.upper().startswith("CC-BY"):
        return
    forms = [form for mark in guide.marks.values() for form in mark.forms.values()]
    stated = [guide.pictures, *(one.pictures for one in guide.marks.values()), *(one.pictures for one in forms)]
    credited = {one.file for pictures in stated for one in pictures if one.credit}
    told: set[str] = set()
    for shown, picture, place in _pictures(known.guide, known.pictures):
        if is_photograph(picture) and picture in known.pictures and picture not in credited | told:
            told.add(picture)
            where, licence = place_of(picture, place), guide.licence
            yield Finding.of("checks.picture-without-credit", where, shown=shown, picture=picture, licence=licence)


def check_plates(known: Known) -> Iterator[Finding]:
    """Yield a finding for every mark that the frontispiece, where there is one, leaves out."""
    plates = known.guide.frontispiece
    for mark in known.guide.marks.values() if plates else ():
        if not any(mark.id in plate.spots for plate in plates):
            yield Finding.of("checks.mark-without-spot", plates[0].place, mark=mark.name, id=mark.id)


def check_descriptions(known: Known) -> Iterator[Finding]:
    """Yield a finding for every mark without a look line, and every form or period that nothing describes."""
    for mark in known.guide.marks.values():
        if not mark.look:
            yield Finding.of("checks.missing-look", mark.place, mark=mark.name)
        for form in mark.forms.values():
            if not form.describes:
                yield Finding.of("checks.missing-description.form", form.place, form=form.name)
    for period in known.guide.periods.values():
        if not (period.summary or period.about):
            yield Finding.of("checks.missing-description.period", period.place, period=period.name)


def sources_used(guide: Guide) -> set[str]:
    """Return the sources on which something in a guide rests, and the papers of the issues among them."""
    used = {*(one.source for one in guide.productions), *(closure.source for closure in guide.closures)}
    for series in guide.series.values():
        used |= {run.source for run in series.runs} | {entry.source for entry in series.calendar}
        used |= (
            {one.source for one in series.strays}
            | {one.source for one in series.dated_cars}
            | {row.source for row in series.model_years}
        )
    used |= {row.source for row in guide.shares} | {change.source for change in guide.changed_together}
    used |= {one.source for one in guide.assembled}
    for interior in guide.interiors.values():
        used |= {span.source for span in interior.spans} | {count.source for count in interior.counts}
    for mark in guide.marks.values():
        used |= {source for statement in mark.statements for source in (statement.source, statement.repeats)}
        for form in mark.forms.values():
            used |= {fitting.source for fitting in form.fitted_as} | {count.source for count in form.counts}
            used |= {one.source for one in form.part_numbers} | {one.source for one in form.supply}
    used |= {car.source for car in guide.cars_seen} | {source.repeats for source in guide.sources.values()}
    return used | {issue.issue_of for issue in guide.sources.values() if issue.id in used}


def check_sources(known: Known) -> Iterator[Finding]:
    """Yield a finding for every claim without a source, and for every source that says nothing or is unused."""
    guide = known.guide
    for mark in guide.marks.values():
        for statement in mark.statements:
            if not statement.source:
                form = mark.forms[statement.form]
                yield Finding.of("checks.missing-source", statement.place, form=form.name)
    used = sources_used(guide)
    for source in guide.sources.values():
        if not source.about and not source.issue_of:
            yield Finding.of("checks.source-says-little", source.place, source=source.name)
        if source.id not in used:
            way = "checks.source-unused.issue" if source.issue_of else "checks.source-unused"
            yield Finding.of(way, source.place, source=source.name, id=source.id, paper=source.issue_of)
