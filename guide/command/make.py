"""`build.py` with no word: read, check, and write the guide if nothing is in error.

And `build.py preview`: the same, kept in memory and shown anew at every save.
"""

from __future__ import annotations

import json
import pathlib
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import TextIO

from guide.command.calls import CallIsOff, words_of
from guide.command.check import finding_json, print_findings, summary
from guide.command.made import Made
from guide.command.progress import Told, progress
from guide.command.window import say
from guide.finding import Finding, Severity
from guide.press.kept import Kept, folder_beside
from guide.press.publish import ignore_interrupts, is_published, marker_of, publish_guide, recover_out
from guide.press.theme import Theme, open_theme
from guide.words.say import Words

__all__ = ["preview", "run"]


def run(
    content: pathlib.Path,
    out_folder: pathlib.Path,
    theme: Theme,
    words: Words,
    out: TextIO,
    *,
    as_json: bool,
    stop_on: str,
    language: str = "",
) -> int:
    """Make the guide and publish it whole; say what there is to put right. Return the exit status.

    Where nothing has changed since it was made, and it is still there, nothing is made anew.
    """
    recover_out(out_folder)  # before all else: this build may find errors and publish nothing
    kept = Kept.beside(out_folder, content, theme, language)
    made = kept.get(Made)
    published = made is not None and not made.stops(stop_on) and is_published(out_folder, made.marker)
    if made is None or not (published or made.stops(stop_on)):
        told = progress(words, sys.stderr)
        made, published = _make(content, out_folder, theme, kept, stop_on, told, language)
    pages = made.pages if published else 0
    if as_json:
        value = {
            "format": 1,
            "edition": made.edition,
            "written": published,
            "out": out_folder.as_posix(),
            "pages": pages,
            "findings": [finding_json(finding, words) for finding in made.findings],
        }
        json.dump(value, out, ensure_ascii=False)
        print(file=out)
    else:
        print_findings(made.findings, words, out)
        said = summary(made, words)
        name = "command.made" if published else "command.not-made"
        say(words.say(name, out=f"{out_folder.as_posix()}/", pages=made.pages, rest=said), out)
    return 0 if published else 1


def _make(
    content: pathlib.Path,
    out_folder: pathlib.Path,
    theme: Theme,
    kept: Kept,
    stop_on: str,
    told: Told | None,
    language: str,
) -> tuple[Made, bool]:
    """Make the guide, publish it and keep what is known of it; return that, and whether it was published."""
    from guide.command.earlier import Earlier, keep_answers
    from guide.command.work import make_guide

    earlier = Earlier(kept, content, out_folder)
    worked, site = make_guide(
        content, theme, stop_on=stop_on, cache=kept.cache, told=told, earlier=earlier, language=language
    )
    edition = worked.guide.edition if worked.guide else ""
    made = Made(edition, worked.findings)
    if site is not None:
        made = Made(edition, worked.findings, marker_of(site, edition), sum(name.endswith(".html") for name in site))
    if kept.is_of(content, theme) and (site is not None or made.stops("errors")):
        kept.put(made)
        earlier.keep()
        if worked.limits is not None and worked.key is not None:
            keep_answers(kept, earlier.outline, worked.limits, worked.key)
    if site is None:
        return made, False
    found = publish_guide(site, out_folder, edition=made.edition, too_late=ignore_interrupts)
    published = not any(finding.severity is Severity.ERROR for finding in found)
    return replace(made, findings=(*made.findings, *found)), published


def preview(
    content: pathlib.Path, out_folder: pathlib.Path, theme: str, *, port: int, open_browser: bool, language: str = ""
) -> int:
    """Show the guide until interrupted; nothing is written but the photographs' cache beside ``out_folder``.

    ``theme`` is the one that the call names, if any; ``language`` the one of the guide's in which it is shown. What
    is said is said in the language that guide.yml names at the time.
    """

    from guide.command.handing_over import handing_over_page
    from guide.command.sent import sent_page
    from guide.command.unforeseen import unforeseen
    from guide.command.work import Worked, begin_guide
    from guide.facts.records.letters_kept import read_letters
    from guide.press.cache import Cache
    from guide.press.disclosed import disclosed, disclosed_page
    from guide.press.handing_over import handing_over
    from guide.press.make import Making
    from guide.press.preview import Built, NoPort, serve_preview
    from guide.press.told_findings import FOR_EDITOR

    def spoken() -> Words:
        return words_of(content)

    def show(said: str | Finding) -> None:
        say(said, sys.stdout) if isinstance(said, str) else print_findings((said,), spoken(), sys.stdout)

    last: Worked | None = None
    cache = Cache(folder_beside(out_folder))

    def build() -> Built:
        nonlocal last
        worked, making = begin_guide(content, open_theme(theme, content), cache, last, language=language)
        last = worked if worked.key is not None else last
        return making, (*worked.findings, *read_letters(content, date.today())[1])

    def own(page: Callable[[Making], bytes]) -> Callable[[], bytes | None]:
        """Return what makes a page for the editor alone of what would be published now."""

        def made() -> bytes | None:
            opened = open_theme(theme, content)
            _, making = begin_guide(content, opened, cache, last, for_editor=False, language=language)
            return None if making is None else page(making)

        return made

    pages = (
        lambda making: disclosed_page(disclosed(making.shelf, making.whole(), content), spoken()),
        lambda making: sent_page(content, making.shelf, spoken()),
        lambda making: handing_over_page(handing_over(making.shelf, making.findings, content, spoken()), spoken()),
    )
    try:
        watched = (content, *open_theme(theme, content).layers)
        serve_preview(
            build,
            watched,
            spoken=spoken,
            net=unforeseen,
            own=dict(zip(FOR_EDITOR, map(own, pages), strict=True)),
            show=show,
            port=port,
            open_browser=open_browser,
        )
    except NoPort as error:
        raise CallIsOff(error.says) from None
    return 0
