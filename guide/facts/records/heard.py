"""What people write in a sheet of cars where the guide has a word of its own: headings, and what was found.

Headings are read by what they are commonly called, by the names of the guide's parts and of its splits. What stands in
a cell is never guessed: it is set aside, and the word that it may mean is offered. The common words stand in the words
folder, `facts.heard.<what>`, several divided by semicolons, so that each language has its own. Headings are read in
every language there is: a sheet from abroad has those of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from guide.facts.records.marks import Mark
from guide.facts.text.csv_tables import plain_words
from guide.facts.text.desk import Desk
from guide.words.languages import languages
from guide.words.say import load_words

__all__ = ["adds_up", "heard_headings", "is_unknown", "meant_by", "without_remark"]

_HEADINGS = ("car", "seen on", "untouched", "interior", "remarks", "built", "body")
_ANSWERS = ("cannot-tell", "changed", "none")
_REMARK = re.compile(r"\s*\([^()]*\)$")
_DIVIDERS = re.compile(r"\s*[/&,;|\\]\s*")


def _heard(what: str, language: str) -> list[str]:
    said = load_words(language).templates[f"facts.heard.{what.replace(' ', '-')}"]
    return [word.strip() for word in said.split(";")]


def heard_headings(columns: Iterable[str], marks: Mapping[str, Mark], desk: Desk) -> dict[str, str]:
    """Return what columns are called besides their own names, in `plain_words`; what could mean two is left out."""
    known = set(columns)
    spoken = dict.fromkeys((desk.typed_in, *languages()))
    said = [(other, name) for name in _HEADINGS if name in known for each in spoken for other in _heard(name, each)]
    said += [(name, name) for name in known]  # with a question mark, say
    said += [(split.name, split.id) for split in (desk.splits or {}).values()]
    for mark in marks.values():
        also = (name.partition(": ")[2] or name for name in mark.also)
        said += [(other, mark.id) for other in (mark.name, mark.question, *also, *mark.formerly)]
    meant: dict[str, set[str]] = {}
    for other, name in said:
        meant.setdefault(plain_words(other), set()).add(name)
    return {other: names.pop() for other, names in meant.items() if other and len(names) == 1}


def adds_up(typed: str, desk: Desk) -> bool:
    """Tell whether a line that begins so is no car: it adds up those above, as spreadsheets do below a table."""
    return plain_words(re.sub(r"\d", "", typed)) in _heard("total", desk.typed_in)


def is_unknown(typed: str, desk: Desk) -> bool:
    """Tell whether a cell says in other words that it is not known."""
    return typed.strip().casefold() in _heard("cannot-tell", desk.typed_in)


def without_remark(typed: str) -> str:
    """Return a cell without what stands in brackets behind it: "mesh (rusty)"."""
    return _REMARK.sub("", typed.strip())


def meant_by(typed: str, mark: Mark, desk: Desk) -> str | None:
    """Return what an answer that cannot be read should be written as, None where nobody knows."""
    plain = typed.strip().casefold()
    for answer in _ANSWERS:
        if plain in _heard(answer, desk.typed_in):
            return answer
    if plain.endswith("?") and _form_called(plain.rstrip("? "), mark) is not None:
        return "cannot-tell"
    if (form := _form_called(without_remark(plain), mark)) is not None:
        return form
    divided = plain
    for word in _heard("joined", desk.typed_in):
        divided = re.sub(rf"\s{re.escape(word)}\s", "/", divided)
    forms = [_form_called(part, mark) for part in _DIVIDERS.split(divided)]
    return "+".join(form for form in forms if form) if len(forms) > 1 and all(forms) else None


def _form_called(plain: str, mark: Mark) -> str | None:
    """Return the form that is called so: by its id, its name or its answer in the key."""
    for form in mark.forms.values():
        if plain == form.id or plain_words(plain) in map(plain_words, (form.id, form.name, form.answer)):
            return form.id
    return None
