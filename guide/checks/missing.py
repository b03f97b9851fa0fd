"""Checks for what a reader would miss: pictures, descriptions, and sources that say what they are."""

from __future__ import annotations

from collections.abc import Iterator

from guide.checks.known import Known, place_of
from guide.facts.types import Guide, Interior, Series
from guide.finding import Finding, Place

__all__ = ["check_descriptions", "check_pictures", "check_sources"]


def _pictures(guide: Guide) -> Iterator[tuple[str, str, Place]]:
    """Yield every picture that a record names: what it shows, the file, where the record stands."""
    for mark in guide.marks.values():
        for form in mark.forms.values():
            yield form.name, form.picture, form.place
    records: tuple[Series | Interior, ...] = (*guide.series.values(), *guide.interiors.values())
    for record in records:
        if record.picture:
            yield record.name, record.picture, record.place


def check_pictures(known: Known) -> Iterator[Finding]:
    """Yield a finding for every picture named that is not in the pictures folder."""
    folded = {name.casefold(): name for name in known.pictures}
    for shown, picture, place in _pictures(known.guide):
        if picture in known.pictures:
            continue
        near = folded.get(picture.casefold())
        yield Finding(
            "missing-picture",
            place_of(picture, place),
            f"expected the drawing of {shown} in pictures/{picture}, found no such file",
            f"the file is called {near}: write it just so"
            if near
            else f"put the drawing in pictures/ as {picture}, or name another under 'picture'",
            excerpt=f"picture: {picture}",
        )


def check_descriptions(known: Known) -> Iterator[Finding]:
    """Yield a finding for every mark without a look line, and every form or period that nothing describes."""
    for mark in known.guide.marks.values():
        if not mark.look:
            yield Finding(
                "missing-look",
                mark.place,
                f"expected a line on how to look at {mark.name}, found none",
                "add 'look:' with one sentence that says where it is and what to compare",
            )
        for form in mark.forms.values():
            if not form.describes:
                yield Finding(
                    "missing-description",
                    form.place,
                    f"expected the drawing of {form.name} in words, found none",
                    "add 'describes:' for those who cannot see the drawing",
                )
    for period in known.guide.periods.values():
        if not (period.summary or period.about):
            yield Finding(
                "missing-description",
                period.place,
                f"expected a sentence on how a '{period.name}' car is known, found none",
                "add 'summary:' with one sentence",
            )


def _sources_used(guide: Guide) -> set[str]:
    used = {guide.production.source, *(closure.source for closure in guide.closures)}
    for series in guide.series.values():
        used |= {run.source for run in series.runs} | {entry.source for entry in series.calendar}
        used |= {stray.source for stray in series.strays} | {row.source for row in series.model_years}
    used |= {row.source for row in guide.shares} | {change.source for change in guide.changed_together}
    for interior in guide.interiors.values():
        used |= {span.source for span in interior.spans} | {count.source for count in interior.counts}
    for mark in guide.marks.values():
        used |= {statement.source for statement in mark.statements}
        for form in mark.forms.values():
            used |= {fitting.source for fitting in form.fitted_as} | {count.source for count in form.counts}
    return used | {car.source for car in guide.cars_seen}


def check_sources(known: Known) -> Iterator[Finding]:
    """Yield a finding for every claim without a source, and for every source that says nothing or is unused."""
    guide = known.guide
    for mark in guide.marks.values():
        for statement in mark.statements:
            if not statement.source:
                yield Finding(
                    "missing-source",
                    statement.place,
                    f"expected a source for what is said of {mark.forms[statement.form].name}, found none",
                    "add 'source:' with the id of one in sources.yml",
                )
    used = _sources_used(guide)
    for source in guide.sources.values():
        if not source.about:
            yield Finding(
                "source-says-little",
                source.place,
                f"expected a line on what {source.name} is and can tell, found none",
                "add 'about:' as a librarian would describe it",
            )
        if source.id not in used:
            yield Finding(
                "source-unused",
                source.place,
                f"nothing in the guide rests on {source.name}",
                "name it where it speaks, or keep it as reading for others",
            )
