"""`build.py back`: the edition before takes the place of the one that is out; said twice, the newer one returns."""

from __future__ import annotations

import json
import pathlib
from typing import TextIO

from guide.command.calls import program
from guide.command.check import finding_json, print_findings
from guide.command.window import say
from guide.press.publish import edition_of, go_back, ignore_interrupts
from guide.words.say import Words

__all__ = ["run"]


def run(out_folder: pathlib.Path, words: Words, out: TextIO, *, as_json: bool) -> int:
    """Go back, say to what, and return the exit status."""
    findings = go_back(out_folder, too_late=ignore_interrupts)
    edition = edition_of(out_folder)
    if as_json:
        said = [finding_json(finding, words) for finding in findings]
        value = {"format": 1, "edition": edition, "written": not findings, "out": out_folder.as_posix()}
        print(json.dumps({**value, "findings": said}, ensure_ascii=False), file=out)
    elif findings:
        print_findings(findings, words, out)
    else:
        name = "command.back" if edition else "command.back.unnamed"
        say(words.say(name, program=program(), out=f"{out_folder.as_posix()}/", edition=edition), out)
    return 1 if findings else 0
