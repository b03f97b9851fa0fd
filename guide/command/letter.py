"""`build.py letter`: what is known of one car as a letter, a restorer's list or a paragraph to quote; or a season's.

Of many cars each stands on a line of a file, as it would be typed after the word, or as `ask --many` takes it. Letters
are private: they go to the terminal, or to a file that stands neither among the facts nor in what is published; a copy
may be kept in the private folder (`guide.command.sent`).
"""

from __future__ import annotations

import argparse
import json
import pathlib
import shlex
import sys
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from guide.command.ask import dated_of, session_of, session_said, sessions_in, worked_anew
from guide.command.calls import Call, CallIsOff, Parser
from guide.command.pasted import is_pasted
from guide.command.private_file import check_private, write_private
from guide.command.window import say
from guide.dating.belief.evidence import Session
from guide.dating.belief.prepare import Prepared
from guide.dating.key import Key
from guide.facts.bones import outline_of
from guide.pages.parts.letter import letter_of
from guide.pages.parts.letter_facts import letter_facts
from guide.pages.parts.letter_lines import DEPTHS, Letter, by_said, from_said, lead_of
from guide.pages.parts.masked import hidden_numbers
from guide.press.fingerprint import fingerprint_of
from guide.press.letters import letters_printed
from guide.sentence import Value, sentence
from guide.words.say import Words, load_words

__all__ = ["add_letter", "run"]

_WIDTH = 78  # letters to a line: what mail is quoted with and still holds
_PRINTED = (".html", ".htm")
_BETWEEN = "\n" + "=" * _WIDTH + "\n"


@dataclass(frozen=True, slots=True)
class ForLetters:
    """The facts that letters need besides the model; ``of`` names the model made ready, ``fingerprint`` all of it."""

    of: str
    facts: Mapping[str, Any]
    fingerprint: str


def add_letter(parser: Parser) -> None:
    """Add what may stand after ``letter``."""
    _add_car(parser)
    parser.option("--depth", choices=DEPTHS, default=DEPTHS[0])
    parser.option("--many", value="file", type=pathlib.Path)
    parser.option("--to", value="file", type=pathlib.Path)
    parser.option("--keep", action="store_true")


def _add_car(parser: Parser) -> None:
    parser.option("told", value="number-answers", nargs="*")
    parser.option("--known", value="kind-date", action="append", default=[])
    parser.option("--sent-to", value="name", default="")


def _session(told: argparse.Namespace, key: Key) -> Session:
    answers = [one for one in told.told if "=" in one]
    numbers = [one for one in told.told if "=" not in one]
    if not told.told and not told.known:
        raise CallIsOff.of("letter.of-nothing")
    if is_pasted(told.told):
        return session_said(key.model, told.told, None, None, told.known)
    return session_said(key.model, answers, numbers or None, None, told.known)


def _line_reader(key: Key, words: Words) -> Any:
    """Return what reads one car, and whom its letter goes to, from a line of a file: as it is typed after the word, or
    as JSON."""
    parser = Parser(words=words, prog="letter")
    _add_car(parser)

    def read(line: str) -> tuple[Session, str]:
        if line.lstrip().startswith("{") or (is_pasted([line]) and " --" not in line):
            return session_of(line, key.model), ""
        try:
            typed = parser.parse_args(shlex.split(line))
            return _session(typed, key), typed.sent_to
        except ValueError as error:  # a quotation mark that is never closed
            raise CallIsOff.of("letter.unclosed", why=str(error)) from None

    return read


def _kept_for(call: Call) -> tuple[Key, ForLetters]:
    theme = call.theme
    kept = call.kept(theme)
    found = kept.get(ForLetters)
    prepared = None if found is None else kept.get(Prepared, found.of)
    if found is None or prepared is None:
        prepared, answers, guide, limits = worked_anew(call, kept, theme)
        words = load_words(guide.language).hiding(hidden_numbers(guide, limits.lines))
        facts = letter_facts(guide, limits, words)
        found = ForLetters(answers.of, facts, fingerprint_of(outline_of(guide)))
        if kept.there and kept.is_of(call.content, theme):
            kept.put(found)
    return Key(prepared.model, prepared), found


def run(call: Call) -> int:
    """Answer one call of ``letter``. Raises CallIsOff when the call makes no sense with this guide."""
    check_private(call)
    options = call.options
    if options.sent_to and not options.keep:
        raise CallIsOff.of("call.only-beside", option="--sent-to", other="--keep")
    key, found = _kept_for(call)
    facts, words = {**found.facts, "fingerprint": found.fingerprint}, load_words(key.model.language)
    if options.many is None:
        asked = [(_session(options, key), options.sent_to)]
    elif options.told or options.known or options.sent_to:
        raise CallIsOff.of("ask.many-alone")
    else:
        asked = sessions_in(options.many, _line_reader(key, words))
    dated = [dated_of(key, session) for session, _ in asked]
    letters = [letter_of(one, facts, options.depth) for one in dated]
    if options.keep:
        from guide.command.sent import keep_letter

        for (session, sent_to), one, letter in zip(asked, dated, letters, strict=True):
            told = {"depth": options.depth, "fingerprint": found.fingerprint, "sent_to": sent_to}
            name = keep_letter(call.content, session, one, _plain_text(letter, facts, words), **told)
            say(words.say("command.letter.kept", file=name), sys.stderr)
    if call.as_json:
        text = "".join(f"{json.dumps(_output(one, facts, words), ensure_ascii=False)}\n" for one in letters)
    elif options.to is not None and options.to.suffix.lower() in _PRINTED:
        text = letters_printed(letters, facts, words, call.theme)
    else:
        text = f"{_BETWEEN}\n".join(_plain_text(one, facts, words) for one in letters)
    if options.to is None:
        call.printed.write(text)
        return 0
    write_private(options.to, text)
    print(words.say("command.letter.written", n=len(letters), file=str(options.to)), file=call.printed)
    return 0


def _plain_text(letter: Letter, facts: Mapping[str, Any], words: Words) -> str:
    return "\n".join(_lines(letter, facts, words)) + "\n"


def _lines(letter: Letter, facts: Mapping[str, Any], words: Words) -> Iterator[str]:
    """Yield a letter as lines of plain text."""
    title, numbers = words.tell(letter.title), letter.sources
    yield title
    yield "-" * len(title)
    yield from _wrapped(from_said(letter, facts), words, "")
    for section in letter.sections:
        yield ""
        yield words.say(f"pages.letter.section.{section.name}")
        lead = lead_of(section)
        yield from _wrapped(lead, words, "") if lead else ()
        for line in section.lines:
            yield from _wrapped(
                sentence("pages.letter.with_by", says=line.says, by=by_said(line, numbers)), words, "  "
            )
            for one in line.more:
                said = sentence("pages.letter.with_by", says=one.says, by=by_said(one, numbers))
                yield from _wrapped(said, words, "      ")
    yield ""
    yield from _wrapped(sentence("pages.letter.by_what"), words, "")
    if numbers:
        yield ""
        yield words.say("pages.letter.section.sources")
    for n, source in enumerate(numbers, 1):
        said = sentence("pages.letter.source", n=n, source=facts["sources"][source]["name"])
        yield from _wrapped(said, words, "  ")
    if facts["contact"]:
        yield ""
        yield from _wrapped(sentence("pages.shell.wrong", contact=facts["contact"]), words, "")


def _wrapped(said: Value, words: Words, indent: str) -> Sequence[str]:
    return textwrap.wrap(
        words.tell(said),
        _WIDTH,
        initial_indent=indent,
        subsequent_indent=f"{indent}  " if indent else "",
        break_long_words=False,
        break_on_hyphens=False,
    )


def _output(letter: Letter, facts: Mapping[str, Any], words: Words) -> Any:
    """Return a letter as plain data: ``{"format", "edition", "fingerprint", "depth", "title", "sections": [{"id",
    "heading", "lines": [line]}], "sources": [{"id", "name"}]}``, a line being ``{"says", "by", "mark" or null, "more":
    [line]}``. ``by`` holds ids of sources, and told, worked or guide.
    """

    def plain(line: Any) -> dict[str, Any]:
        by = [one.removeprefix(":") for one in line.by]
        return {"says": line.says, "by": by, "mark": line.mark or None, "more": [plain(one) for one in line.more]}

    return words.told(
        {
            "format": 1,
            "edition": letter.edition,
            "fingerprint": facts["fingerprint"],
            "depth": letter.depth,
            "title": letter.title,
            "sections": [
                {
                    "id": one.name,
                    "heading": sentence(f"pages.letter.section.{one.name}"),
                    "lines": [plain(line) for line in one.lines],
                }
                for one in letter.sections
            ],
            "sources": [{"id": one, "name": facts["sources"][one]["name"]} for one in letter.sources],
        }
    )
