"""`build.py help WORD`: what a key, a finding or a default means, out of the same sentences as the handbook."""

from __future__ import annotations

import re
from collections.abc import Iterator

from guide.command.calls import Call, perhaps
from guide.command.window import say
from guide.constants import CONSTANTS
from guide.facts.records.every import KEYS, RECORDS
from guide.finding import CODES
from guide.sentence import Value, sentence, upper_first

__all__ = ["run"]

_FEW = 4  # as many as are read in one go


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip().strip(":`").casefold())


def _meanings() -> Iterator[tuple[str, Value]]:
    """Yield the name of every thing that has one, and the sentence that says what it means."""
    for declared in RECORDS:
        for one in declared.fields:
            says = {"record": upper_first(declared.name), "key": one.name, "means": declared.means(one)}
            yield one.name, sentence("command.help.key", **says, takes=one.reader.shape, where=declared.where)
    for code, severity in CODES.items():
        kind, means = sentence(f"finding.severity.{severity}"), sentence(f"finding.means.{code}")
        yield code, sentence("command.help.finding", code=code, severity=kind, means=means)
    for constant, default in CONSTANTS.items():
        name = constant.replace("_", " ")
        said: dict[str, Value] = {"value": f"{default.value:g}", "unit": default.unit}
        said |= {"means": default.meaning, "source": default.source}
        yield name, sentence("command.help.default", name=name, **said)


def _meant(typed: str) -> list[Value]:
    """Return what has just that name; else what has it written otherwise; else the few that have it as one word."""
    every, word = list(_meanings()), _plain(typed)
    ways = [
        [means for name, means in every if name == typed.strip().strip(":`")],
        [means for name, means in every if _plain(name) == word],
        [means for name, means in every if word and f" {word} " in f" {_plain(name)} "],
    ]
    found = next((way for way in ways if way), [])
    return found if found is not ways[2] or len(found) <= _FEW else []


def run(call: Call) -> int:
    """Say what a word means and return the exit status. Raises CallIsOff for one that nothing is called."""
    word = " ".join(call.options.meaning)
    found = [call.words.tell(one) for one in dict.fromkeys(_meant(word))]
    if not found:
        raise perhaps("help.no-word", word, [*KEYS, *CODES, *(name.replace("_", " ") for name in CONSTANTS)], 0.6)
    if call.as_json:
        call.print_json({"word": word, "means": found})
    else:
        say("\n\n".join(found), call.printed)
    return 0
