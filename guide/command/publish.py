"""`build.py publish FOLDER`: the guide as it goes to a host, checked as the host and its visitors would, with a page on
how it goes up; or, with `--branch NAME`, as a commit on a local branch. Nothing is sent to anybody.
"""

from __future__ import annotations

import pathlib
import sys
from collections import ChainMap
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from guide.command.calls import Call, CallIsOff
from guide.command.check import findings_json
from guide.command.progress import progress
from guide.command.work import make_guide
from guide.facts.types import Guide, KeptEdition
from guide.finding import Finding, Place, stops
from guide.press.branch import CannotCommit, commit_site, site_on
from guide.press.host import LAST, Handed, handed, host_findings
from guide.press.keeping_editions import keep_edition, kept_name
from guide.press.publish import edition_of, files_in, ignore_interrupts, marker_of, publish_guide, recover_out
from guide.words.say import Words

__all__ = ["HOST", "run"]

HOST = "HOST.md"  # the page on how the folder goes up, in it; it need not go up itself


@dataclass(frozen=True, slots=True)
class _Before:
    """What was handed over last: its files and the name of its edition, nothing where there was none."""

    site: Mapping[str, bytes]
    edition: str
    page: bytes = b""  # on how it goes up, where it is what was handed over last and has not changed since


def run(call: Call) -> int:
    """Make the guide, check it as a host would, and hand it over whole; return the exit status.

    Raises CallIsOff where neither a folder nor a branch is named, or both, or the folder lies among the facts.
    """
    folder, branch, words = call.options.target, call.options.branch, call.words
    if (folder is None) == (not branch):
        raise CallIsOff.of("publish.one-of")
    if folder is not None and folder.resolve().is_relative_to(call.content.resolve()):
        raise CallIsOff.of("publish.inside", file=folder.as_posix(), folder=call.content.as_posix())
    theme, told = call.theme, progress(words, sys.stderr)
    cache = call.kept(theme, folder or call.out).cache
    worked, site = make_guide(call.content, theme, stop_on=call.stop_on, cache=cache, told=told, language=call.language)
    found, changes, edition = list(worked.findings), Handed((), (), ()), ""
    written = False
    if site is not None and worked.guide is not None:
        edition = worked.guide.edition
        found += host_findings(site, worked.guide.address)
        try:
            before = _before(call.content, folder, branch)
            changes = handed(before.site, site)
            found += [*_same_name(before, changes, edition), *_not_newer(worked.guide)]
            same = changes == Handed((), (), ())
            if folder is not None:
                page = (same and before.page) or _host_page(words, changes, edition, worked.guide.address)
                more = publish_guide(ChainMap({HOST: page}, site), folder, edition=edition, too_late=ignore_interrupts)
                found += more
                written = not stops(more)
            else:
                message = words.say("command.publish.message", title=worked.guide.title, edition=edition)
                commit_site(call.content, branch, site, marker_of(site, edition), message)
                written = True
            if written:
                found += keep_edition(call.content, worked.guide, site)
        except CannotCommit as no:
            found.append(no.finding)
    pages = sum(name.endswith(".html") for name in site) if site is not None and written else 0
    kept = {"kept": kept_name(worked.guide)} if worked.guide is not None and written else {}
    if call.as_json:
        value: dict[str, Any] = {"edition": edition, "written": written, "pages": pages}
        value |= {"folder": folder.as_posix()} if folder is not None else {"branch": branch}
        value |= {**kept, "added": changes.added, "changed": changes.changed, "gone": changes.gone}
        call.print_json({**value, "findings": findings_json(found, words)})
    else:
        call.print_findings(found)
        counts = {"added": len(changes.added), "changed": len(changes.changed), "gone": len(changes.gone)}
        where = f"{folder.as_posix()}/" if folder is not None else branch
        way = "not" if not written else "branch" if folder is None else "folder"
        call.say(f"command.publish.{way}", out=where, pages=pages, edition=edition, host=HOST, **counts)
        if kept:
            call.say("command.publish.kept", file=kept["kept"])
    return 0 if written else 1


def _before(content: pathlib.Path, folder: pathlib.Path | None, branch: str) -> _Before:
    if folder is None:
        return _Before(site_on(content, branch), "")
    recover_out(folder)
    name = edition_of(folder)
    site = dict(files_in(folder)) if name else {}
    return _Before(site, name, site.pop(HOST, b""))


def _same_name(before: _Before, changes: Handed, edition: str) -> list[Finding]:
    """Return the finding of an edition that is another and still bears the name of the one before."""
    if before.edition != edition or not (changes.added or changes.changed or changes.gone):
        return []
    return [Finding.of("press.edition-not-renamed", Place("guide.yml"), edition=edition)]


def _not_newer(guide: Guide) -> list[Finding]:
    """Return the finding of an edition that is dated before the one that was published last."""
    day, last = guide.published.date, max((one for one in guide.editions if one.date), key=_day_of, default=None)
    if day is None or last is None or last.date is None or day >= last.date:
        return []
    said, before = day.isoformat(), last.date.isoformat()
    return [Finding.of("press.edition-not-newer", guide.published.place, day=said, before=before, name=last.name)]


def _day_of(edition: KeptEdition) -> date:
    return edition.date or date.min


def _host_page(words: Words, changes: Handed, edition: str, address: str) -> bytes:
    """Return the page on how the folder goes up: what has changed, in the order in which it should go; what the host is
    to send with it, and what it is not to do."""

    def say(name: str, **values: str | int) -> str:
        return words.say(f"command.host.{name}", **values)

    def listed(names: tuple[str, ...]) -> str:
        return "\n".join(f"- {name}" for name in names) or say("none")

    where = address or say("no-address")
    parts = [
        f"# {say('title', edition=edition)}",
        say("lead", host=HOST, where=where),
        f"## {say('order')}\n\n{say('order-says', last=', '.join(LAST))}",
        f"## {say('upload', n=len(changes.upload))}\n\n{listed(changes.upload)}",
        f"## {say('gone', n=len(changes.gone))}\n\n{say('gone-says')}\n\n{listed(changes.gone)}",
        f"## {say('headers')}\n\n{say('headers-says')}",
        "\n".join(f"    {line}" for line in _HEADERS),
        f"## {say('leave')}\n\n{say('leave-says')}",
    ]
    return ("\n\n".join(parts) + "\n").encode()


# What a host is to send: by file, as HTTP writes it (RFC 9111, 5.2.2; W3C, Service Workers 1, "update").
_HEADERS = (
    "*.html, edition.json, worker.js    Cache-Control: no-cache",
    "pictures/*                         Cache-Control: max-age=31536000, immutable",
    "*.webmanifest                      Content-Type: application/manifest+json",
    "*.js                               Content-Type: text/javascript; charset=utf-8",
    "*.html                             Content-Type: text/html; charset=utf-8",
)
