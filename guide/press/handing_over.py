"""What whoever takes a guide over should know, on one page for editors alone: what is open, what was decided, which
papers say nothing yet, what the guide goes by, and what goes on by hand.

All of it stands in the facts, or is worked out from them; what stands here is which of it is told, and in which order.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

from guide.checks.missing import sources_used
from guide.constants import CONSTANTS
from guide.facts.records.fields import Field, record_of
from guide.facts.records.letters_kept import read_letters
from guide.facts.text.folder import EDITIONS, LETTERS, PRIVATE
from guide.facts.types import Guide, PublishedEdition
from guide.finding import Finding, Severity
from guide.pages.kinds.sources import ruling_told, unruled
from guide.pages.shelf import Shelf
from guide.sentence import Value, all_of, day, duration, in_turn, listed, sentence, upper_first
from guide.tally.report import EDITOR, report
from guide.words.say import Words

__all__ = ["Part", "handing_over", "handing_over_json", "heading_of"]

_OF_TALLY = ("contradict", "disagree", "unexplained", "look-for")  # what of the tally asks for somebody to look
_SAID_ELSEWHERE = ("title", "car", "subtitle", "withdrawn")

Part = tuple[str, list[str]]  # the id of its heading, and its lines


def handing_over(shelf: Shelf, findings: Iterable[Finding], folder: Path, words: Words) -> list[Part]:
    """Return the parts of the page in words. ``findings`` are those of a guide whose content ``folder`` is given; the
    words hide no number."""
    warned = [one for one in findings if one.severity is Severity.WARNING]
    parts: dict[str, Iterable[Value]] = {
        "open": _open(shelf),
        **_asked_by_cars(shelf),
        "warnings": [one.line(words) for one in warned],
        "rulings": _rulings(shelf),
        "unread": _unread(shelf.guide),
        "conventions": _conventions(shelf.guide),
        "by-hand": _by_hand(shelf.guide, folder),
    }
    nothing = words.say("press.handing.nothing")
    return [(part, [" ".join(words.tell(one).split()) for one in lines] or [nothing]) for part, lines in parts.items()]


def heading_of(part: str, words: Words) -> str:
    """Return the heading of a part."""
    return words.say(f"tally.{part}.title" if part in _OF_TALLY else f"press.handing.{part}")


def handing_over_json(guide: Guide, parts: Iterable[Part], words: Words) -> dict[str, Any]:
    """Return the page for output."""
    told = [{"id": part, "heading": heading_of(part, words), "lines": lines} for part, lines in parts]
    return {"format": 1, "edition": guide.edition, "parts": told}


def _open(shelf: Shelf) -> Iterator[Value]:
    for one in unruled(shelf):
        equal = [sentence("pages.sources.equal")] if one["equal"] else []
        says = sentence(f"pages.sources.unruled.{one['standing']}", stated=upper_first(one["stated"]))
        yield in_turn([sentence("press.handing.of-part", part=one["mark"].name, says=says), *equal])
    for mark in shelf.guide.marks.values():
        stated = {one.form for one in mark.statements}
        silent = [form.name for form in mark.forms.values() if form.dates_a_car and form.id not in stated]
        if silent:
            yield sentence("press.handing.unstated", part=mark.name, forms=all_of(silent), n=len(silent))


def _asked_by_cars(shelf: Shelf) -> dict[str, Iterable[Value]]:
    """Return what of the tally asks for somebody to look, by the id of its section."""
    sections = report(shelf.tally, EDITOR, ()) if shelf.tally is not None else ()
    return {one.id: [line.says for line in one.lines] for one in sections if one.id in _OF_TALLY}


def _rulings(shelf: Shelf) -> Iterator[Value]:
    for mark in shelf.guide.marks.values():
        for at, ruling in enumerate(mark.rulings):
            one = ruling_told(shelf, mark, at, ruling)
            stated = sentence("pages.ruling.statement", stated=upper_first(one["stated"]))
            done = [sentence("pages.ruling.set_aside")] if one["sets_aside"] else one["read"]
            by = sentence("pages.ruling.on_by" if one["by"] else "pages.ruling.on", day=one["on"], by=one["by"])
            why = sentence("press.handing.why", why=one["why"])
            yield sentence("press.handing.of-part", part=mark.name, says=in_turn([stated, *done, why, by]))


def _unread(guide: Guide) -> Iterator[Value]:
    used = sources_used(guide)
    for source in guide.sources.values():
        if source.id not in used:
            way = "press.handing.paper-held" if source.held else "press.handing.paper"
            yield sentence(way, name=source.name, id=source.id, held=source.held)


def _conventions(guide: Guide) -> Iterator[Value]:
    """Yield what is typed in guide.yml in a word or two, each key with what it means; how numbers are written; and the
    defaults that are other than usual."""
    declared = record_of(Guide)
    for attribute, name in declared.kept_as:
        value = _in_words(attribute, getattr(guide, attribute))
        if value and name not in _SAID_ELSEWHERE:
            one: Field[Any] = next(field for field in declared.fields if field.name == name)
            yield sentence("press.handing.key", key=name, value=value, means=declared.means(one))
    if guide.languages:
        further = next(field for field in declared.fields if field.name == "also in")
        tags, means = listed(guide.languages[1:]), declared.means(further)
        yield sentence("press.handing.key", key=further.name, value=tags, means=means)
    for series in guide.series.values():
        yield sentence("press.handing.numbers", name=series.name, written=listed(series.written), id=series.id)
    for name, number in guide.overrides.items():
        known = CONSTANTS[name]
        told: dict[str, Value] = {"value": f"{number:g}", "unit": known.unit, "means": known.meaning}
        yield sentence("press.handing.default", name=name.replace("_", " "), usual=f"{known.value:g}", **told)


def _in_words(attribute: str, value: Any) -> Value:
    """Return what is typed after a key, where that is a word or two; else nothing."""
    if isinstance(value, PublishedEdition):
        value = value.name
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return duration(value) if attribute.endswith("_days") else str(value)
    if isinstance(value, tuple) and value and all(isinstance(one, str) for one in value):
        return listed(value)
    return value if isinstance(value, str) else ""


def _by_hand(guide: Guide, folder: Path) -> Iterator[Value]:
    """Yield what of the content folder is published nowhere, so that it has to be handed on itself."""
    sheets = {sheet for car in guide.cars_seen for sheet in car.sheets}
    letters = read_letters(folder, date.today())[0]
    counted = {
        "cars": (len(guide.cars_seen), len(sheets)),
        "withdrawn": (len(guide.withdrawn), 0),
        "editions": (sum(path.is_file() for path in (folder / EDITIONS).rglob("*.json")), 0),
        "private": (sum(path.is_file() for path in (folder / PRIVATE).rglob("*")), len(letters)),
    }
    for what, (n, m) in counted.items():
        if n:
            yield sentence(f"press.handing.{what}", n=n, m=m, folder=f"{LETTERS}/")
    last = guide.editions[-1] if guide.editions else None
    if last is not None:
        when: Value = sentence("press.handing.no-day") if last.date is None else day(last.date)
        yield sentence("press.handing.last-edition", name=last.name, day=when)
    yield sentence("press.handing.content")
