"""What can be looked up, and the words it is found by: the data behind search.js.

One entry for each mark, form, interior, period, area, word, care note and source. A word counts more where it
stands in a name than where it stands in a text, so counts are weighted; they stay whole numbers to keep the
data small. Each word is written once, with the entries that hold it (`packed`), and each name once; which words mean
the same, and what is called just so, search.js works out of the names.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from guide.facts.text.folded import compact
from guide.facts.types import CarNumber, Form, Mark, Word
from guide.pages.parts.beside_a_car import drawn_at
from guide.pages.parts.naming import name_elsewhere, source_id
from guide.pages.parts.pairs import pair_title, pairs_of, pairs_of_things
from guide.pages.parts.search import spellings, words_in
from guide.pages.shelf import Shelf, answered
from guide.words.typography import typographic

__all__ = ["index_data", "packed"]

NAME, ALSO, LINE, BODY = 6, 5, 3, 1  # how much a word counts, by where it stands


def index_data(shelf: Shelf) -> dict[str, Any]:
    """Return the index: entries, the words that they hold, names, part numbers, pairs, cars, how words are written.

    ``parts`` are numbers and what is stamped, ``[as written, entry]``, with the number that took its place where one
    did.
    ``alike`` are rows of names of one thing, the first of its entries being called by the first of them: ``[[entry,
    entry of a part that goes by these as well...], name...]``; ``named`` are further names, ``[entry, name]``.
    """
    entries: list[dict[str, Any]] = []
    counts: list[Counter[str]] = []
    parts: list[list[Any]] = []
    alike: list[list[Any]] = []
    named: list[list[Any]] = []
    marks: dict[str, int] = {}
    for record, entry, words in _entries(shelf):
        at = len(entries)
        if isinstance(record, Form):
            parts += [[one.number, at, *filter(None, (one.superseded_by,))] for one in record.part_numbers]
            parts += [[stamped, at] for stamped in record.stamped if compact(stamped)]
            named += [[at, record.name]] if words_in(record.name) != words_in(record.answer) else []
        elif isinstance(record, Mark):
            marks[record.id] = at
            alike += [[[at], *_names_of(record)[1:]]] if record.also else []
        elif isinstance(record, Word):
            alike.append([[at, *(marks[mark] for mark in record.marks if mark in marks)], *_names_of(record)[1:]])
        entries.append(entry)
        counts.append(words)
    return {
        "entries": entries,
        "holders": packed(counts),
        "alike": alike,
        "named": named,
        "parts": parts,
        "pairs": list(_pairs(shelf)),
        "cars": _cars(shelf),
        "shown": _shown(shelf),
    }


def packed(counts: Sequence[Mapping[str, int]]) -> list[str]:
    """Return in two texts how often each entry holds each word: the words, in the order in which they first come, and
    for each a line of the entries that hold it, by how far each lies behind the one before (the first: behind the first
    of the line before), after a stroke how often it is there, where that is more than once; figures to base 36.
    """
    holding: dict[str, list[str]] = {}
    last: dict[str, int] = {}
    first = 0
    for at, words in enumerate(counts):
        for word, count in words.items():
            if word not in holding:
                holding[word], last[word], first = [], first, at
            holding[word].append(_base_36(at - last[word]) + (f"'{_base_36(count)}" if count > 1 else ""))
            last[word] = at
    return [" ".join(holding), "\n".join(map(" ".join, holding.values()))]


def _base_36(number: int) -> str:
    digits = "0123456789abcdefghijklmnopqrstuvwxyz"
    written = digits[number % 36]
    while number := number // 36:
        written = digits[number % 36] + written
    return written


def _entry(
    shelf: Shelf,
    kind: str,
    identity: str,
    title: str,
    says: str,
    *,
    part: str = "",
    picture: str = "",
    texts: Iterable[tuple[str, int]],
) -> tuple[dict[str, Any], Counter[str]]:
    """Return an entry, and how much each word counts in it."""
    address = shelf.places[kind if kind != "form" else "mark", identity]
    counts: Counter[str] = Counter()
    for text, weight in ((title, NAME), *texts):
        for word in spellings(_plain(text)):
            counts[word] += weight
    entry = {
        "kind": kind,
        "title": title,
        "says": typographic(says, shelf.guide.language),
        "path": address.path + (f"#{part}" if part else ""),
        "picture": picture,
    }
    return entry, counts


def _entries(shelf: Shelf) -> Iterator[tuple[Any, dict[str, Any], Counter[str]]]:
    """Yield every record with its entry and words, in the guide's order, which settles a tie between two."""
    guide = shelf.guide
    for mark in guide.marks.values():
        yield from _of_mark(shelf, mark)
    for interior in guide.interiors.values():
        texts = [(interior.colour, LINE), (interior.material, LINE), (interior.about, BODY)]
        says = _first(interior.about)
        yield interior, *_entry(shelf, "interior", interior.id, interior.name, says, texts=texts)
    for period in guide.periods.values():
        said = shelf.words.range(period.first, period.last)
        texts = [(period.summary, LINE), (period.about, BODY), (said, LINE)]
        yield period, *_entry(shelf, "period", period.id, period.name, said, texts=texts)
    for area in guide.areas.values():
        names = ", ".join(guide.marks[mark].name for mark in area.marks if mark in guide.marks)
        texts = [(area.about, BODY), (names, BODY)]
        yield area, *_entry(shelf, "area", area.id, area.name, _first(area.about) or names, texts=texts)
    for word in guide.words.values():
        texts = [(other, ALSO) for other in _names_of(word)[1:]]
        texts.append((word.means, BODY))
        yield word, *_entry(shelf, "words", "", word.word, _first(word.means), part=f"word-{word.id}", texts=texts)
    for note in guide.care.values():
        texts = [(note.summary, LINE), *((text, BODY) for text in (note.cause, note.prevention, note.repair))]
        yield note, *_entry(shelf, "care", "", note.title, _first(note.summary), part=f"care-{note.id}", texts=texts)
    for source in guide.sources.values():
        texts, part = [(source.kind, LINE), (source.about, BODY)], source_id(source.id)
        yield source, *_entry(shelf, "sources", "", source.name, _first(source.about), part=part, texts=texts)


def _of_mark(shelf: Shelf, mark: Mark) -> Iterator[tuple[Any, dict[str, Any], Counter[str]]]:
    also = _names_of(mark)[1:]
    words = [name for word in shelf.guide.words.values() if mark.id in word.marks for name in _names_of(word)]
    area = shelf.guide.areas[mark.area].name
    picture = next(filter(None, (drawn_at(shelf, mark, form) for form in mark.forms.values())), "")
    texts = [
        *((name, ALSO) for name in (*also, *words)),
        (area, LINE),
        (mark.question, LINE),
        (mark.look, BODY),
        (mark.about, BODY),
        (mark.taken_for, BODY),
        (mark.wear, BODY),
        (mark.to_be_had, BODY),
    ]
    yield mark, *_entry(shelf, "mark", mark.id, mark.name, area, picture=picture, texts=texts)
    for form in mark.forms.values():
        texts = [
            (form.name, ALSO),
            (mark.name, LINE),
            *((name, LINE) for name in also),
            (form.describes, BODY),
            (form.about, BODY),
            (form.wear, BODY),
            (form.to_be_had, BODY),
            *((fitting.kind.value, LINE) for fitting in form.fitted_as if fitting.kind.value != "factory"),
        ]
        picture, part = drawn_at(shelf, mark, form), f"form-{form.id}"
        entry = _entry(shelf, "form", mark.id, form.answer, mark.name, part=part, picture=picture, texts=texts)
        yield form, *entry


def _pairs(shelf: Shelf) -> Iterator[list[str]]:
    """Yield the pages that tell two apart, title, path, and the words of their part and of either name."""
    for _, one, other in pairs_of_things(shelf):
        address = shelf.places["apart", f"{one.id}/{other.id}"]
        yield _pair(address.title, address.path, (), one.name, other.name)
    for mark in shelf.guide.marks.values():
        for pair in pairs_of(mark):
            kind, identity, part = pair.link
            path = shelf.places[kind, identity].path + (f"#{part}" if part else "")
            yield _pair(pair_title(shelf, pair), path, _names_of(mark), pair.one.name, pair.other.name)


def _pair(title: str, path: str, part: Iterable[str], one: str, other: str) -> list[str]:
    words = (" ".join(dict.fromkeys(spellings(text))) for text in (" ".join(part), one, other))
    return [title, path, *words]


def _names_of(record: Mark | Word) -> list[str]:
    """Return every name of a part, or of a word of the trade, the guide's own first."""
    if isinstance(record, Word):
        return [record.word, *record.american, *record.german, *record.also]
    return [record.name, *(name_elsewhere(also)[1] for also in record.also)]


def _shown(shelf: Shelf) -> dict[str, str]:
    """Return how a folded, stemmed word is written, where that differs: for "did you mean"."""
    names = [
        (name, False)
        for mark in shelf.guide.marks.values()
        for name in (*_names_of(mark), *(form.name for form in mark.forms.values()))
    ]
    for word in shelf.guide.words.values():
        names += [(name, name in word.german) for name in _names_of(word)]
    shown: dict[str, str] = {}
    for name, has_capitals in names:
        for part in re.findall(r"[^\W\d_]+", name):
            found = words_in(part)
            if found and found[0] != part.lower():
                shown.setdefault(found[0], part if has_capitals else part.lower())
    return shown


def _cars(shelf: Shelf) -> dict[str, list[list[str]]]:
    """Return where each car is named: written number -> [title, output name]."""
    cars: dict[str, list[list[str]]] = {}

    def add(car: CarNumber | None, title: str, path: str) -> None:
        if car is not None and [title, path] not in cars.setdefault(shelf.words.tell(car.written), []):
            cars[shelf.words.tell(car.written)].append([title, path])

    stated = _stated(shelf)
    for mark in shelf.guide.marks.values():
        path = shelf.places["mark", mark.id].path + "#statements"
        for car in stated[mark.id]:
            add(car, mark.name, path)
        for ruling in mark.rulings:
            add(ruling.read_when.car if ruling.read_when else None, mark.name, path)
    for series in shelf.guide.series.values():
        for stray in series.strays:
            add(stray.car, shelf.say("pages.search.stray"), shelf.places["how-we-know", ""].path + "#numbers")
    return cars


@answered
def _stated(shelf: Shelf) -> dict[str, list[CarNumber]]:
    """Return by mark the cars that are named in its statements."""
    return {
        mark.id: [said.when.car for said in mark.statements if said.when is not None and said.when.car is not None]
        for mark in shelf.guide.marks.values()
    }


def _plain(text: str) -> str:
    """Return Markdown without link targets, so that an address is not found as words."""
    return re.sub(r"\]\([^)]*\)", "]", text)


def _first(text: str) -> str:
    """Return the first sentence of a text, without Markdown's signs, at most a line long."""
    plain = re.sub(r"[*_`#>\[\]]", "", _plain(text)).strip().split("\n\n")[0].replace("\n", " ")
    sentence = re.split(r"(?<=[.!?])\s", plain, maxsplit=1)[0]
    return sentence if len(sentence) <= 140 else sentence[:137].rsplit(" ", 1)[0] + "…"
