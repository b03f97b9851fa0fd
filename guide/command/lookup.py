"""`build.py help WORD`: what a key, a finding or a default means, out of the same sentences as the handbook."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import TextIO

from guide.command.calls import perhaps
from guide.command.window import say
from guide.constants import CONSTANTS
from guide.facts.records.every import KEYS, RECORDS
from guide.finding import CODES
from guide.sentence import Value, sentence, upper_first
from guide.words.say import Words

__all__ = ["run"]


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip().strip(":`").casefold())


def _meanings(word: str) -> Iterator[Value]:
    """Yield a sentence for each thing of that name."""
    for declared in RECORDS:
        for one in declared.fields:
            if _plain(one.name) == word:
                says = {"record": upper_first(declared.name), "key": one.name, "means": declared.means(one)}
                yield sentence("command.help.key", **says, takes=one.reader.shape, where=declared.where)
    for code, severity in CODES.items():
        if _plain(code) == word:
            kind, means = sentence(f"finding.severity.{severity}"), sentence(f"finding.means.{code}")
            yield sentence("command.help.finding", code=code, severity=kind, means=means)
    for name, default in CONSTANTS.items():
        if _plain(name) == word:
            said: dict[str, Value] = {"value": f"{default.value:g}", "unit": default.unit}
            said |= {"means": default.meaning, "source": default.source}
            yield sentence("command.help.default", name=name.replace("_", " "), **said)


def run(word: str, words: Words, out: TextIO, *, as_json: bool) -> int:
    """Say what a word means and return the exit status. Raises CallIsOff for one that nothing is called."""
    found = [words.tell(one) for one in dict.fromkeys(_meanings(_plain(word)))]
    if not found:
        raise perhaps("help.no-word", word, [*KEYS, *CODES, *(name.replace("_", " ") for name in CONSTANTS)], 0.6)
    if as_json:
        print(json.dumps({"format": 1, "word": word, "means": found}, ensure_ascii=False), file=out)
    else:
        say("\n\n".join(found), out)
    return 0
