"""A call: what it asks for, how it is answered (`Call`), and what may be wrong with it (`CallIsOff`).

A call speaks the language of the guide it is about (`words_of`): help, complaints and results alike. The parser's
complaints are reworded, with what would be right.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NoReturn, TextIO

from guide.command.window import say, shown
from guide.finding import Finding, told_once
from guide.press.kept import Kept
from guide.press.theme import Theme, open_theme
from guide.sentence import Sentence, Value, one_of, sentence
from guide.words.languages import languages, main_of
from guide.words.say import Words, load_words

__all__ = ["Call", "CallIsOff", "Parser", "perhaps", "program", "words_of"]

_LANGUAGE = re.compile(r"""^language:\s*["']?([A-Za-z][A-Za-z0-9-]*)""", re.MULTILINE)


def words_of(content: Path, language: str = "") -> Words:
    """Return the sentences in the language that a content folder's guide.yml names; in English where it names none.

    Read leniently, from the one line, so that a guide that cannot be read yet is told so in its own language.
    ``language``: the one of its languages that was asked for, which is spoken where there are sentences in it.
    """
    if main_of(language) in languages():
        return load_words(language)
    try:
        found = _LANGUAGE.search((content / "guide.yml").read_text(encoding="utf-8", errors="replace"))
    except OSError:
        found = None
    return load_words(found[1] if found else "en")


def program() -> str:
    """Return what is typed to call the program here: "running-change" where it is installed."""
    name = Path(sys.argv[0]).name
    if name == "__main__.py":
        return "python -m guide"
    return name.removesuffix(".exe") if name.startswith("running-change") else "python build.py"


class CallIsOff(Exception):
    """A call that makes no sense, or not with this guide; ``says`` is the sentence that tells why and what would."""

    def __init__(self, says: Sentence) -> None:
        super().__init__(says.id)
        self.says = says

    @classmethod
    def of(cls, name: str, /, **values: Value) -> CallIsOff:
        """Return the complaint whose sentence is ``command.<name>``."""
        return cls(sentence(f"command.{name}", program=program(), **values))


@dataclass(frozen=True, kw_only=True, slots=True)
class Call:
    """What a call asks for, and where its answer is printed.

    ``content`` and ``out`` are folders; ``language`` is the one of the guide's in which it is read, empty for its
    first; ``options`` holds what only its own word takes.
    """

    content: Path
    out: Path
    words: Words
    printed: TextIO
    theme_named: str = ""
    as_json: bool = False
    stop_on: str = "errors"
    language: str = ""
    options: argparse.Namespace = field(default_factory=argparse.Namespace)

    @property
    def theme(self) -> Theme:
        """The theme as it is now that the guide is laid out with."""
        return open_theme(self.theme_named, self.content)

    def kept(self, theme: Theme, out: Path | None = None) -> Kept:
        """Return what is kept beside the folder that a guide is made into."""
        return Kept.beside(out or self.out, self.content, theme, self.language)

    def say(self, name: str, /, **values: Value) -> None:
        """Print a sentence of the words folder, fitted to the window."""
        say(self.words.say(name, **values), self.printed)

    def print_findings(self, findings: Iterable[Finding]) -> None:
        """Print findings in the order in which one would mend them, each cause once, a blank line between."""
        for finding in told_once(findings):
            print(shown(finding, self.words, self.printed), end="\n\n", file=self.printed)

    def print_json(self, value: dict[str, Any]) -> None:
        """Print a value for programs, on one line."""
        print(json.dumps({"format": 1, **value}, ensure_ascii=False), file=self.printed)


class Parser(argparse.ArgumentParser):
    """A parser that speaks through the words folder, and hands its complaint to `main`."""

    def __init__(self, *, words: Words, **settings: Any) -> None:
        # Shortened options would change their meaning when an option is added, so they are refused.
        super().__init__(**settings, allow_abbrev=False, add_help=False, formatter_class=_layout_of(words))
        self.words = words
        self._given: list[str] = []
        self._optionals.title = words.say("command.help.options")
        self.add_argument("-h", "--help", action="help", help=words.say("command.help.this"))

    def option(self, name: str, *, value: str = "", reaches: str = "", hidden: bool = False, **settings: Any) -> None:
        """Add an option: ``command.value.<value>`` names what it takes, ``command.help.<name>`` says what it is;
        ``hidden``: no help names it."""
        if value:
            settings["metavar"] = self.words.say(f"command.value.{value}")
        said = self.words.say(f"command.help.{name.lstrip('-')}", reaches=reaches)
        self.add_argument(name, help=argparse.SUPPRESS if hidden else said, **settings)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Parse as the parent does, and remember what was typed."""
        self._given = list(args or ())
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Raise CallIsOff with the parser's complaint in plain words."""
        named = re.match(r"argument ([^:]+): (.*)", message, re.DOTALL)
        action = self._named(named[1]) if named else None
        if named and action is not None:
            raise self._about(action, named[1].split("/")[-1], named[2])
        strange = re.search(r"unrecognized arguments: (\S+)", message)
        if strange:
            raise self._strange(strange[1])
        missing = re.search(r"required: (.*)", message)
        raise CallIsOff.of("call.missing", what=missing[1] if missing else message, after=self.prog.split()[-1])

    def _about(self, action: argparse.Action, name: str, complaint: str) -> CallIsOff:
        found = re.search(r"'([^']*)'", complaint)
        typed = found[1] if found else ""
        if action.choices is not None and found:
            known = [str(choice) for choice in action.choices]
            if action.option_strings:
                return CallIsOff.of("call.choice", option=name, known=one_of(known), typed=typed)
            before = self._given[: self._given.index(typed)] if typed in self._given else []
            strange = [one for one in before if one.startswith("--") and one.split("=")[0] not in self._options()]
            if strange:  # what follows an unknown option was never meant as a word
                return self._strange(strange[0])
            return perhaps("call.no-word", typed, known, 0.7, known=", ".join(known))
        if action.type is int and found:
            return CallIsOff.of("call.whole-number", option=name, typed=typed)
        if action.nargs == 0:
            return CallIsOff.of("call.takes-nothing", option=name, typed=typed)
        return CallIsOff.of("call.missing", what=str(action.metavar), after=name)

    def _strange(self, typed: str) -> CallIsOff:
        words, option = self._words(), typed.split("=")[0]
        after = [word for word, parser in words.items() if option in parser._options()]
        if after:
            return CallIsOff.of("call.elsewhere", typed=option, after=one_of(after))
        said = [word for word in words if word in self._given]
        return perhaps("call.strange", typed, self._options(said or words), 0.7)

    def _named(self, name: str) -> argparse.Action | None:
        for action in self._actions:
            if name in ("/".join(action.option_strings), action.metavar, action.dest):
                return action
        return None

    def _words(self) -> Mapping[str, Parser]:
        return next((one.choices for one in self._actions if isinstance(one.choices, dict)), {})

    def _options(self, after: Iterable[str] = ()) -> list[str]:
        """Every option that may be said, and may be after these words."""
        found = [option for action in self._actions for option in action.option_strings]
        return found + [option for word in after for option in self._words()[word]._options()]


def _layout_of(words: Words) -> Callable[..., argparse.HelpFormatter]:
    class Layout(argparse.RawDescriptionHelpFormatter):
        """The library's layout with the head of the usage in our words."""

        def add_usage(self, usage: Any, actions: Any, groups: Any, prefix: str | None = None) -> None:
            head = f"{words.say('command.help.usage')} " if prefix is None else prefix
            super().add_usage(usage, actions, groups, head)

    return Layout


def perhaps(name: str, typed: str, known: Iterable[str], alike: float, /, **values: Value) -> CallIsOff:
    """Return a complaint that names the nearest of what is known, where anything is near."""
    near = get_close_matches(typed.split("=")[0], list(known), n=1, cutoff=alike)
    values |= {"meant": near[0]} if near else {}
    return CallIsOff.of(f"{name}.meant" if near else name, typed=typed, **values)
