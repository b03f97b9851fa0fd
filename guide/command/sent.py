"""`build.py sent`: the letters that were kept, and what each would say otherwise today; for the editor alone.

A letter is kept with what it said of its car as data: when it was built, and what it left the works with. So its car is
asked of the guide again as it was then, and a letter counts as corrected where the answer differs, not where a sentence
is worded anew. Why it differs is told by what the editions since have told otherwise of the parts concerned
(`guide.pages.parts.since`).
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from typing import Any

from guide.command.ask import dated_of, session_said
from guide.command.calls import Call, CallIsOff
from guide.command.check import findings_json, print_errors
from guide.command.window import say_parts
from guide.command.work import begin_guide
from guide.dating.belief.evidence import Session
from guide.dating.belief.result import dates_of
from guide.dating.dated import Dated
from guide.dating.model import ModelMark
from guide.dating.result_sentences import spans_said
from guide.facts.records.letters_kept import Depth, KeptLetter, read_letters
from guide.facts.text.folder import LETTERS, PRIVATE
from guide.facts.text.written import as_yaml
from guide.facts.types import Guide
from guide.facts.when.numbers import read_table_number
from guide.pages.parts.letter import left_by_works
from guide.pages.parts.naming import slug
from guide.pages.parts.since import former_ids, since_each
from guide.pages.shelf import Shelf
from guide.press.cache import Cache
from guide.press.kept import folder_beside
from guide.press.told_findings import parts_page
from guide.sentence import Value, day, lower_first, one_of_names, sentence
from guide.words.say import Words

__all__ = ["keep_letter", "run", "sent_page"]

_LIKELY = "?"  # behind forms that a letter called probable
_IGNORE = "*\n"  # git's way of leaving a folder out of what it keeps


def keep_letter(content: pathlib.Path, session: Session, dated: Dated, text: str, **given: str) -> str:
    """Write a copy of a letter among the private ones, and return its name in the content folder. ``given``: its depth,
    fingerprint, and whom it was sent to.

    Raises CallIsOff where it cannot be written.
    """
    today = date.today().isoformat()
    built, left = _said(dated, given["depth"])
    value = {
        "car": session.car or "",
        "answers": " ".join(f"{one.mark}={one.value}" for one in session.answers),
        "known": " ".join(f"{kind}={when}" for kind, when in session.known.items()),
        "depth": given["depth"],
        "edition": dated.prepared.model.edition,
        "fingerprint": given["fingerprint"],
        "sent": today,
        "sent to": given["sent_to"],
        "remarks": "",
        "built": built,
        "left the works with": left,
        "says": text,
    }
    data = as_yaml({key: one for key, one in value.items() if one or key in ("sent to", "remarks")})
    folder, begun = content / LETTERS, f"{today}-{slug(session.car or '') or 'car'}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        ignore = content / PRIVATE / ".gitignore"
        if not ignore.exists():
            ignore.write_text(_IGNORE, encoding="utf-8", newline="\n")
        for number in range(1, 1000):
            name = f"{begun}{f'-{number}' if number > 1 else ''}.yml"
            with suppress(FileExistsError), (folder / name).open("x", encoding="utf-8", newline="\n") as file:
                file.write(data)
                return f"{LETTERS}/{name}"
    except OSError as error:
        raise CallIsOff.of("letter.not-written", file=str(folder), why=error.strerror or str(error)) from None
    raise CallIsOff.of("letter.not-written", file=f"{LETTERS}/{begun}", why="999")


def _said(dated: Dated, depth: str) -> tuple[list[str], dict[str, str]]:
    """Return what a letter says of its car: the spans in which it was built, and the forms that it left the works with,
    by mark."""
    spans = (dates_of(dated.prepared, stretch) for stretch in dated.figures.nine)
    built = [f"{first.isoformat()}/{last.isoformat()}" for first, last in spans]
    marks = dated.prepared.model.marks
    left = {
        marks[one.mark].id: "+".join(marks[one.mark].forms[form.form].id for form in one.forms)
        + ("" if one.sure else _LIKELY)
        for one in left_by_works(dated)
    }
    return built, {} if depth == Depth.QUOTE else left


@dataclass(frozen=True, slots=True)
class _Since:
    """A letter, and what it would say otherwise today: each with the part that it is about, empty for the whole car."""

    letter: KeptLetter
    differs: tuple[tuple[str, Value], ...]
    because: tuple[tuple[str, Value], ...] = ()


def _since(shelf: Shelf, letter: KeptLetter) -> _Since:
    guide, marks = shelf.guide, former_ids(shelf.guide.marks)
    known = {mark.id: mark for mark in shelf.key.model.marks}
    try:
        dated = dated_of(shelf.key, _asked(letter, shelf))
    except CallIsOff as off:
        return _Since(letter, (("", off.says),))
    built, left = _said(dated, letter.depth)
    differs: list[tuple[str, Value]] = []
    then = [(one.earliest, one.latest) for one in letter.built if one.earliest and one.latest]
    spans = [spans_said(dated, each) for each in (then, _days(built)) if each]
    if then and spans[0] != spans[1]:
        differs.append(("", sentence("command.sent.built", before=spans[0], now=spans[1])))
    before = {marks.get(mark, mark): _of_today(guide, mark, forms) for mark, forms in letter.left_with.items()}
    for mark in dict.fromkeys((*before, *left)) if before else ():
        if _in_any_order(before.get(mark)) != _in_any_order(left.get(mark)):
            told = {"before": _forms(known.get(mark), before.get(mark)), "now": _forms(known.get(mark), left.get(mark))}
            name = known[mark].name if mark in known else mark
            differs.append((mark, sentence("command.sent.part", part=name, **told)))
    concerned = {mark for mark, _ in differs} | {one.mark for one in dated.session.answers}
    other = next((one for one in since_each(shelf) if one.before.name == letter.edition), None)
    because = [
        (one.id, sentence("command.sent.because", part=one.name, says=says))
        for one in (other.parts if other is not None and differs else ())
        for says in one.says
        if one.id in concerned
    ]
    at = read_table_number(dated.session.car, shelf.key.model.numbers).get("series") if dated.session.car else None
    because += [
        ("", sentence("command.sent.because-numbers", series=one.name, says=says))
        for one in (other.numbers if other is not None and differs else ())
        for says in one.says
        if at in (None, one.id)
    ]
    if differs and not because:
        because = [("", sentence("command.sent.other", edition=letter.edition, fingerprint=letter.fingerprint or "?"))]
    return _Since(letter, tuple(differs), tuple(because))


def _asked(letter: KeptLetter, shelf: Shelf) -> Session:
    car = [letter.car] if letter.car else None
    return session_said(shelf.key.model, letter.answers.split(), car, None, letter.known.split())


def _of_today(guide: Guide, mark: str, forms: str) -> str:
    """Return forms of a mark, as a letter has them, by the ids of today."""
    here = guide.marks.get(former_ids(guide.marks).get(mark, mark))
    former = former_ids(here.forms) if here is not None else {}
    likely = _LIKELY if forms.endswith(_LIKELY) else ""
    return "+".join(former.get(one, one) for one in forms.removesuffix(_LIKELY).split("+")) + likely


def _forms(mark: ModelMark | None, forms: str | None) -> Value:
    if forms is None:
        return sentence("command.sent.nothing")
    known = {one.id: one.name for one in mark.forms} if mark is not None else {}
    said = lower_first(one_of_names(known.get(one, one) for one in forms.removesuffix(_LIKELY).split("+")))
    return sentence("command.sent.likely", forms=said) if forms.endswith(_LIKELY) else said


def _in_any_order(forms: str | None) -> tuple[list[str], bool]:
    """Return forms so that it does not matter which of them is the more usual."""
    return sorted((forms or "").removesuffix(_LIKELY).split("+")), (forms or "").endswith(_LIKELY)


def _days(spans: Sequence[str]) -> list[tuple[date, date]]:
    each = ([date.fromisoformat(one) for one in span.split("/")] for span in spans)
    return [(first, last) for first, last in each]


def _told(found: Sequence[_Since], words: Words) -> tuple[str, list[tuple[str, list[str]]]]:
    """Return the letters in words: how many there are, and those that would say otherwise, each with what and why."""
    corrected = [one for one in found if one.differs]
    lead = words.say("command.sent.lead", n=len(found), m=len(corrected), folder=f"{LETTERS}/")
    parts = []
    for one in corrected:
        lines = [words.tell(says) for _, says in (*one.differs, *one.because)]
        parts.append((words.tell(_heading(one.letter)), [*lines, str(one.letter.place.file)]))
    as_they_were = [words.tell(_heading(one.letter)) for one in found if not one.differs]
    return lead, [*parts, *([(words.say("command.sent.as-they-were"), as_they_were)] if as_they_were else [])]


def _heading(letter: KeptLetter) -> Value:
    told: dict[str, Value] = {"day": day(letter.sent), "depth": sentence(f"command.sent.depth.{letter.depth}")}
    told |= {"car": letter.car or sentence("command.sent.no-number"), "edition": letter.edition}
    return sentence(f"command.sent.letter{'-to' if letter.sent_to else ''}", **told, to=letter.sent_to)


def _letters_since(content: pathlib.Path, shelf: Shelf) -> list[_Since]:
    return [_since(shelf, letter) for letter in read_letters(content, date.today())[0]]


def sent_page(content: pathlib.Path, shelf: Shelf, words: Words) -> bytes:
    """Return a page, for the preview alone, of the letters that were kept."""
    return parts_page(words.say("command.sent.title"), *_told(_letters_since(content, shelf), words), words)


def run(call: Call) -> int:
    """Say which letters would say otherwise today; return 1 where the facts are in error. Nothing is written."""
    worked, making = begin_guide(
        call.content, call.theme, Cache(folder_beside(call.out)), for_editor=False, language=call.language
    )
    if making is None:
        return print_errors(worked, call)
    wrong = read_letters(call.content, date.today())[1]
    found = _letters_since(call.content, making.shelf)
    if call.as_json:
        letters = call.words.told([*_plain(found)])
        said = findings_json(wrong, call.words)
        call.print_json({"edition": making.shelf.guide.edition, "letters": letters, "findings": said})
    else:
        call.print_findings(wrong)
        say_parts(*_told(found, call.words), call.printed)
    return 0


def _plain(found: Sequence[_Since]) -> Iterator[Mapping[str, Any]]:
    for one in found:
        letter = one.letter
        yield {
            "file": letter.place.file,
            "car": letter.car or None,
            "sent": letter.sent.isoformat(),
            "sent_to": letter.sent_to,
            "depth": str(letter.depth),
            "edition": letter.edition,
            "fingerprint": letter.fingerprint,
            "differs": [{"mark": mark or None, "says": says} for mark, says in one.differs],
            "because": [{"mark": mark or None, "says": says} for mark, says in one.because],
        }
