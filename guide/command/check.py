"""`build.py check`: findings only, for people or (as the page on output has it) for machines."""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterable
from typing import Any, TextIO

from guide.command.work import Worked, make_guide, stops
from guide.finding import Finding, Severity
from guide.limits.edges import limits_json, step_json
from guide.words.say import Words

__all__ = ["finding_json", "print_findings", "run", "summary"]


def finding_json(finding: Finding, words: Words) -> dict[str, Any]:
    """Return a finding for output."""
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
    """Print findings, a blank line between."""
    for finding in findings:
        print(finding.printed(words), end="\n\n", file=out)


def summary(worked: Worked, words: Words) -> str:
    """Return one line that counts what there is to put right."""
    return (
        words.say(
            "command.counts",
            errors=worked.count(Severity.ERROR),
            warnings=worked.count(Severity.WARNING),
            notes=worked.count(Severity.NOTE),
        )
        if worked.findings
        else words.say("command.nothing-to-put-right")
    )


def run(content: pathlib.Path, theme: pathlib.Path, words: Words, out: TextIO, *, as_json: bool, stop_on: str) -> int:
    """Print every finding, those of pages and pictures too; return 1 when they would keep a guide from being written.

    The pages are made for it, and thrown away: what only they can tell (a link that leads nowhere, a picture that
    cannot be read) is to put right like the rest.
    """
    worked, _ = make_guide(content, theme, stop_on=stop_on)
    if as_json:
        value = {
            "format": 1,
            "edition": worked.guide.edition if worked.guide else "",
            "findings": [finding_json(finding, words) for finding in worked.findings],
            "limits": limits_json(worked.limits, words) if worked.limits else [],
        }
        json.dump(value, out, ensure_ascii=False)
        print(file=out)
    else:
        print_findings(worked.findings, words, out)
        print(summary(worked, words), file=out)
    return 1 if stops(worked, stop_on) else 0
