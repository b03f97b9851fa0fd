"""`build.py disclosed`: what goes out of a guide that is not prose, for people or for machines; nothing is written."""

from __future__ import annotations

import json
import pathlib
from typing import TextIO

from guide.command.check import finding_json, print_findings
from guide.command.window import say_parts
from guide.command.work import begin_guide
from guide.finding import Severity
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
        errors = [finding for finding in worked.findings if finding.severity is Severity.ERROR]
        if as_json:
            edition = worked.guide.edition if worked.guide else ""
            said = {"format": 1, "edition": edition, "findings": [finding_json(one, words) for one in errors]}
            print(json.dumps(said, ensure_ascii=False), file=out)
        else:
            print_findings(errors, words, out)
        return 1
    found = disclosed(making.shelf, making.whole(), content)
    if as_json:
        print(json.dumps(disclosed_json(found), ensure_ascii=False), file=out)
        return 0
    say_parts(words.say("press.disclosed.lead"), told(found, words), out)
    return 0
