"""What is not translated yet: of a guide's own texts (`build.py untranslated`), and of what the program itself says
(`python -m guide.command.untranslated [LANGUAGE...]`: every sentence that a language lacks, by its id, in English).
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any, NamedTuple

from guide.command.calls import Call
from guide.command.check import print_errors
from guide.command.window import say, say_parts
from guide.command.work import Worked
from guide.facts.read import read_guide
from guide.facts.reads import MARKDOWN
from guide.facts.records.readers import few_words, said, said_last, said_texts
from guide.facts.types import Guide
from guide.facts.values import Text
from guide.finding import errors_in
from guide.pages.parts.naming import name_elsewhere
from guide.words.languages import languages, own_templates, untranslated

__all__ = ["main", "run", "texts_lacking"]

_FOR_READERS = (few_words, said, said_last, said_texts)  # what pages show as it was typed, besides Markdown
# Names of their own in every language, and words that say whose they are:
_AS_THEY_ARE = {("Guide", "car"), ("Word", "american"), ("Word", "german")}
_SAYS = re.compile(r"[^\W\d_]{3}")  # what holds no three letters together is a number, the same in every language
_LONGEST = 72  # characters of a text that are printed


class Lacking(NamedTuple):
    """A text that a guide does not give in the language it was read in: where, in which it is, under which key."""

    file: str
    line: int
    column: int
    language: str
    key: str
    text: str


def texts_lacking(guide: Guide) -> list[Lacking]:
    """Return every text of a guide that is in another of its languages than the one it was read in, as they stand."""
    return sorted(
        {
            Lacking(one.place.file, one.place.line, one.place.column, one.language, key, str(one))
            for key, one in _texts(guide, "")
            if one.language and _SAYS.search(one)
        }
    )


def _texts(thing: Any, key: str) -> Iterator[tuple[str, Text]]:
    """Yield every text that is meant for readers, with the key after which it was typed; "" while none was met."""
    if isinstance(thing, Text):
        if key:
            yield key, thing
    elif isinstance(thing, tuple | list):
        named = any(isinstance(one, Text) and name_elsewhere(one)[0] for one in thing)
        for one in () if named else thing:  # names that say whose they are: "de: Kippschalter"
            yield from _texts(one, key)
    elif isinstance(thing, Mapping):
        for one in thing.values():
            yield from _texts(one, key)
    elif is_dataclass(thing) and not isinstance(thing, type):
        for one in fields(thing):
            if (type(thing).__name__, one.name) not in _AS_THEY_ARE:
                typed = str(one.metadata.get("typed") or one.name.replace("_", " "))
                shown = one.name in MARKDOWN or one.name == "table" or one.metadata.get("reader") in _FOR_READERS
                yield from _texts(getattr(thing, one.name), typed if shown else "")


def run(call: Call) -> int:
    """List what a guide does not give in the language named, or in each of its languages; return 1 where errors keep it
    from being read."""
    found, spoken, asked = dict[str, list[Lacking]](), tuple[str, ...](), [call.language]
    while asked:
        language = asked.pop(0)
        reading = read_guide(call.content, language=language)
        guide, errors = reading.guide, tuple(errors_in(reading.findings))
        if guide is None or errors:
            return print_errors(Worked(folder=call.content, guide=guide, limits=None, key=None, findings=errors), call)
        found[guide.language], spoken = texts_lacking(guide), guide.languages
        if not call.language and not language:
            asked = [tag for tag in spoken if tag != guide.language]
    if call.as_json:
        texts = [{"lacks": tag, **one._asdict()} for tag, lacking in found.items() for one in lacking]
        call.print_json({"texts": texts})
    elif spoken:
        given = ", ".join(f"{tag.partition('-')[0]}: ..." for tag in spoken)
        say_parts(call.words.say("command.untranslated.lead", given=f"{{{given}}}"), _parts(found, call), call.printed)
    else:
        say(call.words.say("command.untranslated.one-language"), call.printed)
    return 0


def _parts(found: Mapping[str, Iterable[Lacking]], call: Call) -> Iterator[tuple[str, list[str]]]:
    for tag, lacking in found.items():
        lines = [f"{one.file}:{one.line}: {one.key}: {_short(one.text)}" for one in lacking]
        yield call.words.say("command.untranslated.language", language=tag, n=len(lines)), lines


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST else f"{line[:_LONGEST].rpartition(' ')[0] or line[:_LONGEST]} …"


def main(tags: Sequence[str] = ()) -> int:
    """Print what languages lack of what the program says; return how many sentences that are."""
    english, lacking = own_templates("en"), 0
    for tag in tags or languages():
        for name in untranslated(tag):
            print(f"{tag} {name}: {english[name]}")
            lacking += 1
    return lacking


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
