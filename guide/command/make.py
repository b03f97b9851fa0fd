"""`build.py` with no word: read, check, and write the guide if nothing is in error.

And `build.py preview`: the same, kept in memory and shown anew at every save.
"""

from __future__ import annotations

import json
import pathlib
from dataclasses import replace
from typing import TextIO

from guide.command.calls import CallIsOff
from guide.command.check import finding_json, print_findings, summary
from guide.command.work import make_guide
from guide.dating.key import Key
from guide.finding import Severity
from guide.press.preview import Built, NoPort, serve_preview
from guide.press.publish import ignore_interrupts, publish_guide, recover_out
from guide.words.say import Words

__all__ = ["preview", "run"]


def _cache_beside(out: pathlib.Path) -> pathlib.Path:
    return out.resolve().with_name(f".{out.resolve().name}.cache")


def run(
    content: pathlib.Path,
    out_folder: pathlib.Path,
    theme: pathlib.Path,
    words: Words,
    out: TextIO,
    *,
    as_json: bool,
    stop_on: str,
) -> int:
    """Make the guide and publish it whole; say what there is to put right. Return the exit status."""
    recover_out(out_folder)  # before all else: this build may find errors and publish nothing
    worked, site = make_guide(content, theme, stop_on=stop_on, cache=_cache_beside(out_folder))
    published = False
    if site is not None:
        edition = worked.guide.edition if worked.guide else ""
        found = publish_guide(site, out_folder, edition=edition, too_late=ignore_interrupts)
        worked = replace(worked, findings=(*worked.findings, *found))
        published = not any(finding.severity is Severity.ERROR for finding in found)
    pages = sum(name.endswith(".html") for name in site or ())
    if as_json:
        value = {
            "format": 1,
            "edition": worked.guide.edition if worked.guide else "",
            "written": published,
            "out": out_folder.as_posix(),
            "pages": pages if published else 0,
            "findings": [finding_json(finding, words) for finding in worked.findings],
        }
        json.dump(value, out, ensure_ascii=False)
        print(file=out)
    else:
        print_findings(worked.findings, words, out)
        said = summary(worked, words)
        name = "command.made" if published else "command.not-made"
        print(words.say(name, out=f"{out_folder.as_posix()}/", pages=pages, rest=said), file=out)
    return 0 if published else 1


def preview(
    content: pathlib.Path, out_folder: pathlib.Path, theme: pathlib.Path, words: Words, *, port: int, open_browser: bool
) -> int:
    """Show the guide until interrupted; nothing is written but the photographs' cache beside ``out_folder``."""

    last: Key | None = None

    def build() -> Built:
        nonlocal last
        cache = _cache_beside(out_folder)
        worked, site = make_guide(content, theme, stop_on="errors", cache=cache, before=last)
        last = worked.key or last
        return site, worked.findings

    try:
        serve_preview(build, (content, theme), words=words, port=port, open_browser=open_browser)
    except NoPort as error:
        raise CallIsOff(error.says) from None
    return 0
