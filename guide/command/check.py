"""`build.py check`: findings only, for people or (as the page on output has it) for machines."""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, TextIO

from guide.command.made import Made
from guide.command.window import say, shown
from guide.facts.records.letters_kept import read_letters
from guide.finding import Finding, Severity, told_once
from guide.press.kept import Kept
from guide.press.theme import Theme
from guide.words.say import Words

if TYPE_CHECKING:
    from guide.command.work import Worked

__all__ = ["finding_json", "print_errors", "print_findings", "run", "summary"]


def finding_json(finding: Finding, words: Words) -> dict[str, Any]:
    """Return a finding for output."""
    from guide.limits.edges import step_json

    aside = finding.set_aside
    return {
        "file": finding.place.file,
        "line": finding.place.line,
        "column": finding.place.column,
        "severity": str(finding.severity),
        "code": finding.code,
        "message": words.tell(finding.message),
        "put_right": words.tell(finding.put_right),
        "related": [
            {
                "file": related.place.file,
                "line": related.place.line,
                "column": related.place.column,
                "message": words.tell(related.message),
            }
            for related in finding.related
        ],
        "chain": None if finding.chain is None else [step_json(step, words) for step in finding.chain],
        "set_aside": None
        if aside is None
        else {"file": aside.place.file, "line": aside.place.line, "source": aside.source},
    }


def print_findings(findings: Iterable[Finding], words: Words, out: TextIO) -> None:
    """Print findings in the order in which one would mend them, each cause once, a blank line between."""
    for finding in told_once(findings):
        print(shown(finding, words, out), end="\n\n", file=out)


def print_errors(worked: Worked, words: Words, out: TextIO, *, as_json: bool) -> int:
    """Print what keeps a guide from being made, and return the exit status for that."""
    errors = [finding for finding in worked.findings if finding.severity is Severity.ERROR]
    if as_json:
        edition = worked.guide.edition if worked.guide else ""
        said = {"format": 1, "edition": edition, "findings": [finding_json(one, words) for one in errors]}
        print(json.dumps(said, ensure_ascii=False), file=out)
    else:
        print_findings(errors, words, out)
    return 1


def summary(made: Made, words: Words) -> str:
    """Return one line that counts what there is to put right."""
    return (
        words.say(
            "command.counts",
            errors=made.count(Severity.ERROR),
            warnings=made.count(Severity.WARNING),
            notes=made.count(Severity.NOTE),
        )
        if made.findings
        else words.say("command.nothing-to-put-right")
    )


def run(
    content: pathlib.Path,
    out_folder: pathlib.Path,
    theme: Theme,
    words: Words,
    out: TextIO,
    *,
    as_json: bool,
    stop_on: str,
    pages: bool,
    language: str = "",
) -> int:
    """Print every finding, those of texts and pictures too; return 1 when they would keep a guide from being written.

    What an editor can put right is found by looking at the facts. With ``pages`` every page is made for it and thrown
    away, which shows besides what is wrong with a theme. Where nothing has changed since the guide was made beside
    ``out_folder``, what was found then is said. ``language``: the one of its languages in which it is read.
    """
    kept = Kept.beside(out_folder, content, theme, language)
    made = None if as_json or pages else kept.get(Made)
    limits: list[dict[str, Any]] = []
    if made is None:
        from guide.command.work import check_guide_whole, make_guide

        if pages:
            worked, _ = make_guide(content, theme, stop_on=stop_on, language=language)
        else:
            worked = check_guide_whole(content, theme, language=language)
        made = Made(worked.guide.edition if worked.guide else "", worked.findings)
        if as_json and worked.limits:
            from guide.limits.edges import limits_json

            limits = limits_json(worked.limits, words)
    made = replace(made, findings=(*made.findings, *read_letters(content, date.today())[1]))
    if as_json:
        value = {
            "format": 1,
            "edition": made.edition,
            "findings": [finding_json(finding, words) for finding in made.findings],
            "limits": limits,
        }
        json.dump(value, out, ensure_ascii=False)
        print(file=out)
    else:
        print_findings(made.findings, words, out)
        say(summary(made, words), out)
    return 1 if made.stops(stop_on) else 0
