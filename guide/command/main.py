"""The command line: what may be typed, and what each word does.

Exit status: 0 good, 1 errors found, 2 the call itself is off, 130 interrupted (Ctrl-C; nothing published is changed).
"""

from __future__ import annotations

import argparse
import errno
import gc
import importlib
import json
import os
import pathlib
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import Any, NoReturn

from guide.command.calls import Call, CallIsOff, Parser, program, words_of
from guide.command.version import VERSION
from guide.press.theme import themes_known
from guide.sentence import one_of
from guide.words.languages import languages
from guide.words.say import Words

__all__ = ["enter", "leave", "main"]

GOOD, ERRORS, CALL_IS_OFF, INTERRUPTED = 0, 1, 2, 130
_NO_ROOM = (errno.ENOSPC, errno.EDQUOT)
_MODULES = {"help": "lookup", "handing-over": "handing_over"}  # where they are not named as their word is
_OF_NO_GUIDE, _OF_NO_THEME = ("help", "start"), ("back", "rename")
_CONTENT, _OUT = pathlib.Path("content"), pathlib.Path("out")
_COMMON = {"content": _CONTENT, "out": _OUT, "theme": "", "json": False, "stop_on": "errors", "language": ""}
"""What may be said with every word, and what is meant where it is not."""
_SAYS_NOTHING = {
    "preview": ("json", "stop_on"),
    "ask": ("stop_on",),
    "letter": ("stop_on",),
    "tally": ("out", "theme", "stop_on"),
    "back": ("theme", "stop_on"),
    "disclosed": ("stop_on",),
    "sent": ("stop_on",),
    "handing-over": ("stop_on",),
    "untranslated": ("out", "theme", "stop_on"),
    "help": ("out", "theme", "stop_on"),
    "rename": ("out", "theme", "stop_on"),
    "start": ("out", "theme", "stop_on"),
}
"""What of it changes nothing about a word. Whoever says it all the same is told, and gets what he asked for."""
# What may be typed, and the word whose sentence says what it does.
_ASK_EXAMPLES = (
    "ask",
    "ask switches=rocker tail-lamps=round --car C1912",
    "ask switches=rocker --reach outside,glass --known registered=1968-07 --json",
    "ask --many cars.jsonl --json",
)
_LETTER_EXAMPLES = (
    "letter C1912",
    "letter C1912 switches=rocker tail-lamps=round --known part:belts=1968-03 --depth quote",
    "letter --many season.txt --to ../letters.html",
    'letter C1912 switches=rocker --keep --sent-to "A. Reader"',
)
_EXAMPLES = (
    ("", "make"),
    ("check", "check"),
    ("preview", "preview"),
    ("ask", "ask"),
    ("letter C1912", "letter"),
    ("tally", "tally"),
    ("back", "back"),
    ("publish to-host", "publish"),
    ("disclosed", "disclosed"),
    ("start my-guide", "start"),
    ("help misread", "help"),
)


def _common(parser: Parser, word: str = "") -> None:
    """Add the options that every word takes; after a word they keep what was said before it."""
    settings: dict[str, dict[str, Any]] = {
        "content": {"value": "folder", "type": pathlib.Path},
        "out": {"value": "folder", "type": pathlib.Path},
        "theme": {"value": "name"},
        "json": {"action": "store_true"},
        "stop_on": {"choices": ["errors", "warnings"]},
        "language": {"choices": languages()} if word == "start" else {"value": "name"},
    }
    for name, one in settings.items():
        hidden = name in _SAYS_NOTHING.get(word, ())
        parser.option(f"--{name.replace('_', '-')}", default=argparse.SUPPRESS, hidden=hidden, **one)


def _add_evidence(parser: Parser) -> None:
    """Add what may stand after ``ask``."""
    from guide.facts.values import Reach

    parser.option("answers", value="mark-form", nargs="*")
    parser.option("--car", value="number", action="append")
    parser.option("--reach", value="list", reaches=", ".join(reach.value for reach in Reach))
    parser.option("--known", value="kind-date", action="append", default=[])
    parser.option("--edition", value="name")
    parser.option("--many", value="file", type=pathlib.Path)


def _examples(words: Words, lines: Sequence[str]) -> str:
    return "\n".join((words.say("command.help.examples"), *(f"  {program()} {line}" for line in lines)))


def _parser(words: Words, arguments: Sequence[str]) -> Parser:
    """Return what reads a call; what may stand after ``ask`` is added where that is said."""
    lines = [f"{call:<21} {words.say(f'command.help.example.{word}')}" for call, word in _EXAMPLES]
    parser = Parser(
        words=words, prog=program(), description=words.say("command.help.make.about"), epilog=_examples(words, lines)
    )
    parser.option("--version", action="version", version=VERSION)
    _common(parser)
    added = parser.add_subparsers(
        dest="word", metavar=words.say("command.value.word"), parser_class=Parser, title=words.say("command.help.words")
    )

    def word(name: str, epilog: str | None = None) -> Parser:
        about = words.say(f"command.help.{name}.about")
        new: Parser = added.add_parser(
            name, words=words, help=words.say(f"command.help.{name}"), description=about, epilog=epilog
        )
        _common(new, name)
        return new

    checked = word("check")
    checked.option("--pages", action="store_true")
    preview = word("preview")
    preview.option("--port", value="number", type=int, default=5500)
    preview.option("--no-browser", action="store_true")
    asked = word("ask", f"{words.say('command.help.ask.how')}\n\n{_examples(words, _ASK_EXAMPLES)}")
    if "ask" in arguments:
        _add_evidence(asked)
    lettered = word("letter", f"{words.say('command.help.letter.how')}\n\n{_examples(words, _LETTER_EXAMPLES)}")
    if "letter" in arguments:
        from guide.command.letter import add_letter

        add_letter(lettered)
    word("tally")
    word("back")
    handed = word("publish")
    handed.option("target", value="folder", type=pathlib.Path, nargs="?")
    handed.option("--branch", value="name", default="")
    word("disclosed")
    word("sent")
    word("untranslated")
    over = word("handing-over")
    over.option("--to", value="file", type=pathlib.Path)
    asked_for = word("help")
    asked_for.option("meaning", value="key", nargs="+")
    asked_for._positionals.title = words.say("command.help.help.values")
    renamed = word("rename")
    renamed.option("which", value="kind-id")
    renamed.option("new", value="id")
    renamed._positionals.title = words.say("command.help.rename.values")
    begun = word("start")
    begun.option("folder", value="folder", type=pathlib.Path)
    begun.option("--from", value="file", type=pathlib.Path, dest="begun_from")
    begun.option("--again", action="store_true")
    for one, name in ((asked, "ask"), (lettered, "letter"), (begun, "start"), (handed, "publish")):
        one._positionals.title = words.say(f"command.help.{name}.values")
    return parser


def _run(options: argparse.Namespace, words: Words) -> int:
    """Do what a call asks for; each word's own module is read only when it is said."""
    word, said = options.word or "make", [name for name in _COMMON if hasattr(options, name)]
    for name in _COMMON.keys() - set(said):
        setattr(options, name, _COMMON[name])
    out, language = options.out, options.language
    if word != "start":
        words = words_of(options.content, language)
    elif language and language not in languages():
        raise CallIsOff.of("call.choice", option="--language", known=one_of(languages()), typed=language)
    if word not in _OF_NO_GUIDE:
        if language and out == _OUT:
            out = _OUT.with_name(f"{_OUT.name}-{language}")
        if not out.resolve().name:
            raise CallIsOff.of("call.out-is-a-disk", folder=str(out))
        if word != "back" and not options.content.is_dir():
            raise CallIsOff.of("call.no-content", folder=str(options.content))
        if word not in _OF_NO_THEME and options.theme and options.theme not in themes_known():
            raise CallIsOff.of("call.no-theme", theme=options.theme, known=", ".join(themes_known()))
    for name in said:
        if name in _SAYS_NOTHING.get(word, ()):
            from guide.command.window import say

            option = f"--{name.replace('_', '-')}"
            say(words.say("command.call.says-nothing", option=option, word=word), sys.stderr)
    if word != "preview":
        gc.disable()  # a command that runs once leaves nothing behind; looking for it took a tenth of the time
    call = Call(
        content=options.content,
        out=out,
        words=words,
        printed=sys.stdout,
        theme_named=options.theme,
        as_json=options.json,
        stop_on=options.stop_on,
        language=language,
        options=options,
    )
    status: int = importlib.import_module(f"guide.command.{_MODULES.get(word, word)}").run(call)
    return status


def _words_for(arguments: Sequence[str]) -> Words:
    """Return the sentences in the language of a call: known before it is read, from what it names."""
    finder = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    finder.add_argument("--content", nargs="?", const="content", default="content")
    finder.add_argument("--language", nargs="?", const="", default="")
    found, _ = finder.parse_known_args(list(arguments))
    return words_of(pathlib.Path(found.content), found.language)


def main(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    words = _words_for(arguments)
    try:
        status = _run(_parser(words, arguments).parse_args(list(arguments)), words)
        sys.stdout.flush()
        return status
    except CallIsOff as off:
        if "--json" in arguments:
            print(json.dumps({"format": 1, "error": words.tell(off.says)}, ensure_ascii=False))
        else:
            from guide.command.window import say

            say(words.tell(off.says), sys.stderr)
        return CALL_IS_OFF
    except BrokenPipeError:  # whoever read along has read enough, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return GOOD
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return INTERRUPTED
    except Exception as error:
        if sys.flags.dev_mode:
            raise  # `python -X dev build.py`: whoever mends it wants the whole way there
        if isinstance(error, OSError) and error.errno in _NO_ROOM:  # most likely what is printed goes to a full disk
            from guide.command.window import say

            say(words.say("command.call.no-room", why=error.strerror or type(error).__name__), sys.stderr)
            return ERRORS
        from guide.command.check import findings_json
        from guide.command.unforeseen import unforeseen

        finding = unforeseen(error)
        if "--json" in arguments:
            said = {"format": 1, "error": finding.line(words), "findings": findings_json([finding], words)}
            print(json.dumps(said, ensure_ascii=False))
        else:
            from guide.command.window import shown

            print(shown(finding, words, sys.stderr), file=sys.stderr)
        return ERRORS


def enter() -> None:
    """Run the command line as it was typed, and leave with its status: what an installed copy calls."""
    leave(main(sys.argv[1:]))


def leave(status: int) -> NoReturn:
    """End the process: all is written by now, and to tidy away what stands in memory took a fiftieth of a build."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            if stream is not None:
                stream.flush()
    os._exit(status)
