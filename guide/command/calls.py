"""What may be wrong with a call, in plain words: the parser's complaints reworded, with what would be right."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any, NoReturn

__all__ = ["CallIsOff", "Parser"]

_HELP = "Type 'python build.py --help' to see what there is."


class CallIsOff(Exception):
    """The command was called in a way that makes no sense; its text says how to call it."""


class Parser(argparse.ArgumentParser):
    """A parser that hands its complaint to `main`, which words it for people or for machines."""

    def __init__(self, **settings: Any) -> None:
        # Shortened options would change their meaning when an option is added, so they are refused.
        super().__init__(**settings, allow_abbrev=False)
        self._given: list[str] = []

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Parse as the parent does, and remember what was typed."""
        self._given = list(args or ())
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Raise CallIsOff with the parser's complaint in plain words."""
        raise CallIsOff(self._plain(message))

    def _plain(self, message: str) -> str:
        named = re.match(r"argument ([^:]+): (.*)", message, re.DOTALL)
        action = self._named(named[1]) if named else None
        if named and action is not None:
            return self._about(action, named[1].split("/")[-1], named[2])
        missing = re.search(r"required: (.*)", message)
        if missing:
            return f"There is a {missing[1]} missing after {self.prog.split()[-1]}. {_HELP}"
        strange = re.search(r"unrecognized arguments: (\S+)", message)
        if strange:
            return self._strange(strange[1])
        return f"{message[:1].upper()}{message[1:]}. {_HELP}"

    def _about(self, action: argparse.Action, name: str, complaint: str) -> str:
        found = re.search(r"'([^']*)'", complaint)
        typed = found[1] if found else ""
        if action.choices is not None and found:
            known = [str(choice) for choice in action.choices]
            if action.option_strings:
                return f"{name} takes {' or '.join(known)}, not '{typed}'. {_HELP}"
            before = self._given[: self._given.index(typed)] if typed in self._given else []
            strange = [one for one in before if one.startswith("--") and one.split("=")[0] not in self._options()]
            if strange:  # what follows an unknown option was never meant as a word
                return self._strange(strange[0])
            return f"There is no word '{typed}' here.{_meant(typed, known)} These are the words: {', '.join(known)}."
        if action.type is int and found:
            return f"{name} takes a whole number, not '{typed}'. {_HELP}"
        return f"There is a {action.metavar or 'value'} missing after {name}. {_HELP}"

    def _strange(self, typed: str) -> str:
        return f"'{typed}' is nothing that can be said here.{_meant(typed, self._options())} {_HELP}"

    def _named(self, name: str) -> argparse.Action | None:
        for action in self._actions:
            if name in ("/".join(action.option_strings), action.metavar, action.dest):
                return action
        return None

    def _options(self) -> list[str]:
        """Every option that may be said, after a word too."""
        found = [option for action in self._actions for option in action.option_strings]
        for action in self._actions:
            for parser in action.choices.values() if isinstance(action.choices, dict) else ():
                found += parser._options()
        return found


def _meant(typed: str, known: Iterable[str]) -> str:
    near = get_close_matches(typed.split("=")[0], list(known), n=1, cutoff=0.7)
    return f" Did you mean {near[0]}?" if near else ""
