"""`build.py` with no word: read, check, and write the guide if nothing is in error."""

from __future__ import annotations

import sys
from dataclasses import replace

from guide.command.calls import Call
from guide.command.check import findings_json, summary
from guide.command.made import Made
from guide.command.progress import progress
from guide.finding import stops
from guide.press.kept import Kept
from guide.press.publish import ignore_interrupts, is_published, marker_of, publish_guide, recover_out
from guide.press.theme import Theme

__all__ = ["run"]


def run(call: Call) -> int:
    """Make the guide and publish it whole; say what there is to put right. Return the exit status.

    Where nothing has changed since it was made, and it is still there, nothing is made anew.
    """
    recover_out(call.out)  # before all else: this build may find errors and publish nothing
    theme = call.theme
    kept = call.kept(theme)
    made = kept.get(Made)
    stopped = made is not None and stops(made.findings, call.stop_on)
    published = made is not None and not stopped and is_published(call.out, made.marker)
    if made is None or not (published or stopped):
        made, published = _make(call, theme, kept)
    out, pages = call.out.as_posix(), made.pages if published else 0
    if call.as_json:
        said = findings_json(made.findings, call.words)
        call.print_json({"edition": made.edition, "written": published, "out": out, "pages": pages, "findings": said})
    else:
        call.print_findings(made.findings)
        name = "command.made" if published else "command.not-made"
        call.say(name, out=f"{out}/", pages=made.pages, rest=summary(made.findings, call.words))
    return 0 if published else 1


def _make(call: Call, theme: Theme, kept: Kept) -> tuple[Made, bool]:
    """Make the guide, publish it and keep what is known of it; return that, and whether it was published."""
    from guide.command.earlier import Earlier, keep_answers
    from guide.command.work import make_guide

    earlier = Earlier(kept, call.content, call.out)
    told = progress(call.words, sys.stderr)
    worked, site = make_guide(
        call.content, theme, stop_on=call.stop_on, cache=kept.cache, told=told, earlier=earlier, language=call.language
    )
    edition = worked.guide.edition if worked.guide else ""
    made = Made(edition, worked.findings)
    if site is not None:
        made = Made(edition, worked.findings, marker_of(site, edition), sum(name.endswith(".html") for name in site))
    if kept.is_of(call.content, theme) and (site is not None or stops(made.findings)):
        kept.put(made)
        earlier.keep(worked.guide.language if worked.guide else "")
        if worked.limits is not None and worked.key is not None:
            keep_answers(kept, earlier.outline, worked.limits, worked.key)
    if site is None:
        return made, False
    found = publish_guide(site, call.out, edition=made.edition, marker=made.marker, too_late=ignore_interrupts)
    return replace(made, findings=(*made.findings, *found)), not stops(found)
