"""What people write of a car in words of their own, as "Small switches: toggles; trim: tan vinyl; car C1500".

Read by the names that parts, forms and dates have in the guide and with people (`facts.heard.*`), of which the first
to have a name keeps it. Nothing is left out: what is not understood comes back as it was written, and is then told of
as in any other call. The twin is guide/browser/pasted.js.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from guide.dating.belief.papers import PAPERS
from guide.dating.model import Model, ModelMark
from guide.facts.values import RESERVED_IDS
from guide.facts.when.numbers import read_table_number
from guide.words.say import Words

__all__ = ["is_pasted", "read_pasted"]

_OWN_WORDS = re.compile(r"(?<!part):(?!//)|;")  # "part:belts=1969-03" is a date as it is typed
_PIECES = re.compile(r"\s*[;|\n\t]\s*|,\s*(?=[^,;:=]{1,40}[:=]|[^,;:=]*[A-Za-z]-?\d{3})")
_PARTED = re.compile(r"\s*[:=]\s*")
_JOINED = re.compile(r"\s*[/&+,]\s*")
_RESTORED = "--known=restored"  # is said without a date
_MOST_WORDS = 4  # of a name, where nothing parts it from what is said of it
_ABOUT = re.compile(r"""^["'(\s]+|["').\s]+$""")


def is_pasted(said: Sequence[str]) -> bool:
    """Tell whether what was typed is in a person's own words, and not as the command line has it."""
    return any(_OWN_WORDS.search(one) for one in said)


def read_pasted(text: str, model: Model, words: Words) -> dict[str, Any]:
    """Return what a text says of a car: ``answers``, ``car`` and ``known``, as a call says them."""
    names, marks = _names(model, words), {mark.id: mark for mark in model.marks}
    given: dict[str, Any] = {"answers": {}, "car": None, "known": {}}
    for about, said in _pieces(text, names, model):
        kind = about.removeprefix("--known=")
        if about == "--car":
            given["car"] = said
        elif kind != about:
            given["known"][kind] = said
        else:
            given["answers"][about] = (_value(marks[about], said, words) or said) if about in marks else said
    return given


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.lower()))


def _heard(words: Words, what: str) -> list[str]:
    return [word.strip().lower() for word in words.templates[f"facts.heard.{what}"].split(";")]


def _names(model: Model, words: Words) -> Mapping[str, str]:
    """Return by the plain words of a name what it means: a mark's id, ``--car`` or ``--known=KIND``."""
    said = [(name, mark.id) for mark in model.marks for name in (mark.id, mark.name)]
    said += model.formerly.get("marks", {}).items()
    for what, kind in (("body", "body"), ("interior", "interior")):
        said += [(word, mark.id) for word in _heard(words, what) for mark in model.marks if mark.kind == kind]
    said += [(word, "--car") for what in ("number", "car") for word in _heard(words, what)]
    for paper in PAPERS:
        said += [(name, f"--known={paper}") for name in (paper, words.templates[f"pages.key.known.{paper}"])]
    part = words.templates["pages.key.known.part"]
    said += [(part.replace("{part}", mark.name or mark.id), f"--known=part:{mark.id}") for mark in model.marks]
    said.append((words.templates["pages.key.known.restored"], _RESTORED))
    said += [(word, "--known=assembled") for word in _heard(words, "built")]
    said += [(word, "--known=date") for word in _heard(words, "dated")]
    return {_plain(name): meant for name, meant in reversed(said) if _plain(name)}


def _pieces(text: str, names: Mapping[str, str], model: Model) -> Iterator[tuple[str, str]]:
    """Yield the pieces of a text: what each is about, as `_names` tells or as it was written, and what is said."""
    for piece in filter(None, map(str.strip, _PIECES.split(text))):
        parts, tokens = _PARTED.split(piece), piece.split()
        pairs = (_plain(f"{one} {other}") for one, other in pairwise(parts[:-1]))
        two = next((at for at, pair in enumerate(pairs) if pair in names), None)  # "Date on a part: Seat belts"
        at = next((at for at, part in enumerate(parts[:-1]) if _plain(part) in names), None)
        most = min(_MOST_WORDS, len(tokens) - 1)
        count = next((n for n in range(most, 0, -1) if _plain(" ".join(tokens[:n])) in names), 0)
        about, said = parts[0], ":".join(parts[1:])
        if names.get(_plain(parts[-1])) == _RESTORED:
            about, said = _RESTORED, "yes"
        elif two is not None:
            about, said = names[_plain(f"{parts[two]} {parts[two + 1]}")], ":".join(parts[two + 2 :])
        elif at is not None:
            about, said = names[_plain(parts[at])], ":".join(parts[at + 1 :])
        elif len(parts) == 1 and count:
            about, said = names[_plain(" ".join(tokens[:count]))], " ".join(tokens[count:])
        elif len(parts) == 1 and "failure" not in read_table_number(piece, model.numbers):
            about, said = "--car", piece
        yield about, _ABOUT.sub("", said)


def _form_called(mark: ModelMark, text: str) -> str:
    """Return the form of a mark that is called so, by its id, its name or its answer; empty for none."""
    called = [form.id for form in mark.forms if _plain(text) in map(_plain, (form.id, form.name, form.answer))]
    return called[0] if called else ""


def _value(mark: ModelMark, text: str, words: Words) -> str:
    """Return an answer in words as the guide writes it ("toggle+rocker", "changed"); empty for what is none."""
    typed = text.strip().lower()
    for kind in sorted(RESERVED_IDS):
        said = [kind, *_heard(words, kind), words.templates[f"pages.key.{kind.replace('-', '_')}"].lower()]
        if typed in said or (_plain(typed) and _plain(typed) in map(_plain, said)):
            return kind
    if whole := _form_called(mark, text):
        return whole
    divided = text
    for word in _heard(words, "joined"):
        divided = re.sub(rf"\s{re.escape(word)}\s", "/", divided, flags=re.IGNORECASE)
    forms = [_form_called(mark, part) for part in _JOINED.split(divided)]
    return "+".join(forms) if len(forms) > 1 and all(forms) else ""
