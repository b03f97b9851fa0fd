"""`build.py check`: findings only, for people or (as the page on output has it) for machines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any

from guide.command.calls import Call
from guide.command.made import Made
from guide.command.window import say
from guide.finding import Finding, Severity, errors_in, stops
from guide.words.say import Words

if TYPE_CHECKING:
    from guide.command.work import Worked

__all__ = ["findings_json", "print_errors", "run", "summary"]


def findings_json(findings: Iterable[Finding], words: Words) -> list[dict[str, Any]]:
    """Return findings for output."""
    return [_finding_json(finding, words) for finding in findings]


def _finding_json(finding: Finding, words: Words) -> dict[str, Any]:
    from guide.limits.edges import step_json

    aside = finding.set_aside
    return {
        **finding.place.output(),
        "severity": str(finding.severity),
        "code": finding.code,
        "message": words.tell(finding.message),
        "put_right": words.tell(finding.put_right),
        "related": [{**related.place.output(), "message": words.tell(related.message)} for related in finding.related],
        "chain": None if finding.chain is None else [step_json(step, words) for step in finding.chain],
        "set_aside": None
        if aside is None
        else {"file": aside.place.file, "line": aside.place.line, "source": aside.source},
    }


def print_errors(worked: Worked, call: Call) -> int:
    """Print what keeps a guide from being made, and return the exit status for that."""
    errors = errors_in(worked.findings)
    if call.as_json:
        edition = worked.guide.edition if worked.guide else ""
        call.print_json({"edition": edition, "findings": findings_json(errors, call.words)})
    else:
        call.print_findings(errors)
    return 1


def summary(findings: Iterable[Finding], words: Words) -> str:
    """Return one line that counts what there is to put right."""
    count = Counter(finding.severity for finding in findings)
    if not count:
        return words.say("command.nothing-to-put-right")
    errors, warnings, notes = (count[severity] for severity in Severity)
    return words.say("command.counts", errors=errors, warnings=warnings, notes=notes)


def run(call: Call) -> int:
    """Print every finding, those of texts and pictures too; return 1 when they would keep a guide from being written.

    What an editor can put right is found by looking at the facts. With ``--pages`` every page is made for it and thrown
    away, which shows besides what is wrong with a theme. Where nothing has changed since the guide was made beside
    the output folder, what was found then is said.
    """
    from guide.facts.records.letters_kept import read_letters

    theme = call.theme
    made = None if call.as_json or call.options.pages else call.kept(theme).get(Made)
    limits: list[dict[str, Any]] = []
    if made is None:
        from guide.command.work import check_guide_whole, make_guide

        if call.options.pages:
            worked, _ = make_guide(call.content, theme, stop_on=call.stop_on, language=call.language)
        else:
            worked = check_guide_whole(call.content, theme, language=call.language)
        made = Made(worked.guide.edition if worked.guide else "", worked.findings)
        if call.as_json and worked.limits:
            from guide.limits.edges import limits_json

            limits = limits_json(worked.limits, call.words)
    findings = (*made.findings, *read_letters(call.content, date.today())[1])
    if call.as_json:
        said = findings_json(findings, call.words)
        call.print_json({"edition": made.edition, "findings": said, "limits": limits})
    else:
        call.print_findings(findings)
        say(summary(findings, call.words), call.printed)
    return 1 if stops(findings, call.stop_on) else 0
