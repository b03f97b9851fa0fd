"""`build.py back`: the edition before takes the place of the one that is out; said twice, the newer one returns."""

from __future__ import annotations

from guide.command.calls import Call, program
from guide.command.check import findings_json
from guide.press.publish import edition_of, go_back, ignore_interrupts

__all__ = ["run"]


def run(call: Call) -> int:
    """Go back, say to what, and return the exit status."""
    findings = go_back(call.out, too_late=ignore_interrupts)
    edition, out = edition_of(call.out), call.out.as_posix()
    if call.as_json:
        said = findings_json(findings, call.words)
        call.print_json({"edition": edition, "written": not findings, "out": out, "findings": said})
    elif findings:
        call.print_findings(findings)
    else:
        call.say(
            "command.back" if edition else "command.back.unnamed", program=program(), out=f"{out}/", edition=edition
        )
    return 1 if findings else 0
