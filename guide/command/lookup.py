"""`build.py help WORD`: what a key, a finding or a default means, out of the same sentences as the handbook.

A finding is shown by a mistake, as it was typed and as it was mended, out of `EXAMPLES`, which is written from the
tables of mistakes that the tests mend; a key by the handbook's first line that has it."""

from __future__ import annotations

import json
import pathlib
import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from guide.command.calls import Call, perhaps
from guide.command.documents import written
from guide.command.window import say
from guide.constants import CONSTANTS
from guide.facts.records.every import KEYS, RECORDS
from guide.finding import CODES
from guide.sentence import Value, sentence, upper_first
from guide.words.say import Words

__all__ = ["EXAMPLES", "run"]

EXAMPLES = pathlib.Path(__file__).with_name("examples.json")  # by finding: the file, what was typed, what was meant
_BLOCK = re.compile(r"^[^`\n]+ `([^`]+)`:\n\n```yaml\n(.*?)^```$", re.MULTILINE | re.DOTALL)
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


@cache
def _mistakes() -> Mapping[str, tuple[str, str, str, str]]:
    return json.loads(EXAMPLES.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def _mistake(code: str, words: Words) -> str:
    """Return a mistake and its mend, on lines of their own; nothing where no line of a file shows it."""
    file, wrong, mended_in, right = _mistakes().get(code, ("", "", "", ""))
    if not file:
        return ""
    if not wrong and not right:
        return "\n" + words.say("command.help.named", wrong=file, right=mended_in)
    typed = words.say("command.help.typed", file=file, wrong=_set_in(wrong))
    other = "" if mended_in == file else ".elsewhere"
    return "\n".join(("", typed, words.say(f"command.help.mended{other}", file=mended_in, right=_set_in(right))))


def _examples(names: Iterable[str], words: Words) -> Iterator[str]:
    """Yield the handbook's first line that has each key, in each file where one does."""
    for name in (one for one in names if one in KEYS):
        shown, key = set(), re.compile(rf"(?:^|[{{,]|- ) *{re.escape(name)}: *\S.*$", re.MULTILINE)
        for file, block in _BLOCK.findall(written(words)):
            found, kind = key.search(block), file.rpartition("/")[0] or file
            if found and kind not in shown:
                shown.add(kind)
                start = block.rfind("\n", 0, found.start() + 1) + 1
                line = block[start : block.find("\n", found.end())]
                yield words.say("command.help.example", file=file, line=_set_in(line.strip()))


def _set_in(lines: str) -> str:
    return "\n".join(f"  {line}" for line in textwrap.dedent(lines).split("\n"))


def _meant(typed: str) -> list[tuple[str, Value]]:
    """Return what has just that name; else what has it written otherwise; else the few that have it as one word; else
    the key with which it begins."""
    every, word = list(_meanings()), _plain(typed)
    ways = [
        [one for one in every if one[0] == typed.strip().strip(":`")],
        [one for one in every if _plain(one[0]) == word],
        [one for one in every if word and f" {word} " in f" {_plain(one[0])} "],
        [one for one in every if one[0] in KEYS and f"{word} ".startswith(f"{_plain(one[0])} ")],  # "look for": `look`
    ]
    found = next((way for way in ways if way), [])
    return found if found is not ways[2] or len(found) <= _FEW else []


def run(call: Call) -> int:
    """Say what a word means and return the exit status. Raises CallIsOff for one that nothing is called."""
    word, words = " ".join(call.options.meaning), call.words
    meant = list(dict.fromkeys(_meant(word)))
    found = [words.tell(means) for _, means in meant]
    if not found:
        raise perhaps("help.no-word", word, [*KEYS, *CODES, *(name.replace("_", " ") for name in CONSTANTS)], 0.6)
    if call.as_json:
        call.print_json({"word": word, "means": found})
    else:
        shown = [f"{means}{_mistake(name, words)}" for (name, _), means in zip(meant, found, strict=True)]
        say("\n\n".join((*shown, *_examples(dict.fromkeys(name for name, _ in meant), words))), call.printed)
    return 0
