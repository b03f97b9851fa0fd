"""`build.py disclosed`: what goes out of a guide that is not prose, for people or for machines; nothing is written."""

from __future__ import annotations

import json
import pathlib
from typing import TextIO

from guide.command.check import print_errors
from guide.command.window import say_parts
from guide.command.work import begin_guide
from guide.press.cache import Cache
from guide.press.disclosed import disclosed, disclosed_json, told
from guide.press.kept import folder_beside
from guide.press.theme import Theme
from guide.words.say import Words

__all__ = ["run"]


def run(
    content: pathlib.Path, out_folder: pathlib.Path, theme: Theme, words: Words, out: TextIO, *, as_json: bool
) -> int:
    """Make the guide in memory and say what would go out; return 1 where errors keep it from being made."""
    worked, making = begin_guide(content, theme, Cache(folder_beside(out_folder)), for_editor=False)
    if making is None:
        return print_errors(worked, words, out, as_json=as_json)
    found = disclosed(making.shelf, making.whole(), content)
    if as_json:
        print(json.dumps(disclosed_json(found), ensure_ascii=False), file=out)
        return 0
    say_parts(words.say("press.disclosed.lead"), told(found, words), out)
    return 0
