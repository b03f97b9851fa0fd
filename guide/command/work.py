"""The whole flow, one way: facts, limits, dating, checks, pages. Every command calls it."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from guide.checks.known import Known
from guide.checks.run import check_guide
from guide.command.earlier import Earlier
from guide.command.progress import Told
from guide.dating.belief.prepare import Prepared
from guide.dating.key import Key
from guide.facts.read import read_guide
from guide.facts.text.decoding import composed
from guide.facts.types import Guide
from guide.finding import Finding, Place, Severity, StepKind, errors_in, stops
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult
from guide.pages.kinds.sheet import too_long
from guide.press.cache import Cache
from guide.press.fingerprint import outline_known
from guide.press.make import Making, make_site
from guide.press.site_files import SiteFiles
from guide.press.theme import Theme
from guide.tally.count import derive_tally

__all__ = ["Worked", "begin_guide", "check_guide_whole", "make_guide", "work_out"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Worked:
    """A guide with all that was worked out from it. The later parts are None when the facts cannot be used."""

    folder: pathlib.Path
    guide: Guide | None
    limits: LimitsResult | None
    key: Key | None
    findings: tuple[Finding, ...]

    @property
    def usable(self) -> tuple[Guide, LimitsResult, Key] | None:
        """The guide with its limits and its key, where the facts can be used."""
        if self.guide is None or self.limits is None or self.key is None:
            return None
        return self.guide, self.limits, self.key


_OF_ORDER = ("time-without-form", "form-not-in-order", "ruling-reopened", "ruling-decides-nothing")  # besides clashes


def _without_what_follows(found: list[Finding]) -> list[Finding]:
    """Return findings without those that rest on a line in error, or on an order that is the wrong way round: once that
    is mended they may be gone."""
    wrong = {(one.place.file, one.place.line) for one in errors_in(found)}
    backwards = {one.place.file for one in found if one.code == "order-backwards"} - {file for file, _ in wrong}

    def follows(one: Finding) -> bool:
        if one.code == "order-backwards" and one.place.file not in backwards:
            return True
        steps = one.chain or ()
        if any(step.kind is StepKind.ORDER and step.place.file in backwards for step in steps):
            return True
        if one.code in _OF_ORDER and one.place.file in backwards:
            return True
        places = [one.place, *(related.place for related in one.related), *(step.place for step in steps)]
        return any((place.file, place.line) in wrong for place in places)

    return [one for one in found if one.severity is Severity.ERROR or not follows(one)]


def _with_excerpt(finding: Finding, lines: Mapping[str, tuple[str, ...]]) -> Finding:
    """Give a finding the line it speaks of, as the editor typed it, when it has none yet."""
    text = lines.get(finding.place.file, ())
    if 1 <= finding.place.line <= len(text):
        return replace(finding, excerpt=text[finding.place.line - 1].strip())
    return finding


def work_out(
    folder: pathlib.Path,
    before: Worked | None = None,
    *,
    ready: Callable[[Guide], Prepared | None] = lambda _guide: None,
    language: str = "",
) -> Worked:
    """Read a content folder and work out limits, model and findings; nothing is written.

    ``before`` is the same guide as it was worked out last: where no more than places and texts have changed, its model
    and all that was worked out from that is kept. ``ready`` gives a guide's model where it is known already;
    ``language`` as for `read_guide`.
    A guide whose facts cannot be used yields findings only. Findings are in order of file, line, column, code.
    """
    reading = read_guide(folder, date.today(), language)
    found = list(reading.findings)
    guide, limits, key = reading.guide, None, None
    if guide is not None and not stops(found):
        limits = derive_limits(guide)
        found += limits.findings
        known = ready(guide)
        key = _key_of(guide, limits, before) if known is None else Key(known.model, known)
        pictures = folder / "pictures"
        names = (
            frozenset(composed(path.name) for path in pictures.iterdir() if path.is_file())
            if pictures.is_dir()
            else frozenset()
        )
        found += check_guide(Known(guide=guide, limits=limits, key=key, pictures=names))
        found = _without_what_follows(found)
    ordered = sorted((_with_excerpt(finding, reading.lines) for finding in found), key=lambda f: f.sort_key)
    return Worked(folder=folder, guide=guide, limits=limits, key=key, findings=tuple(ordered))


def _key_of(guide: Guide, limits: LimitsResult, before: Worked | None) -> Key:
    from guide.dating.building.build import build_model  # most saves change words and build none

    if before is not None and before.key is not None and before.limits is not None:
        if outline_known(guide, limits).digest == outline_known(before.guide, before.limits).digest:
            return before.key
        return Key.of(build_model(guide, limits), before.key)
    return Key(build_model(guide, limits))


def check_guide_whole(content: pathlib.Path, theme: Theme, language: str = "") -> Worked:
    """Work a guide out and look over its texts and pictures; nothing is printed. ``language`` as for `read_guide`."""
    worked = work_out(content, language=language)
    if worked.usable is None or stops(worked.findings):
        return worked
    guide, limits, key = worked.usable
    making = Making(content, theme, guide=guide, limits=limits, key=key)
    return _with_more(worked, (*making.look_over(), *too_long(making.shelf)))


def begin_guide(
    content: pathlib.Path,
    theme: Theme,
    cache: Cache,
    before: Worked | None = None,
    *,
    for_editor: bool = True,
    language: str = "",
) -> tuple[Worked, Making | None]:
    """Work a guide out and look it over, ``before`` as for `work_out`; return its site in the making, each page of
    which is made when it is asked for, or None where errors stop it. ``for_editor`` as for `Making`; ``language`` as
    for `read_guide`."""
    worked = work_out(content, before, language=language)
    if worked.usable is None or stops(worked.findings):
        return worked, None
    guide, limits, key = worked.usable
    tally = derive_tally(limits, key)
    making = Making(
        content, theme, guide=guide, limits=limits, key=key, tally=tally, cache=cache, for_editor=for_editor
    )
    worked = _with_more(worked, making.look_over())
    return worked, None if stops(worked.findings) else making


def _with_more(worked: Worked, found: Iterable[Finding]) -> Worked:
    findings = tuple(sorted((*worked.findings, *_once_each(tuple(found))), key=lambda finding: finding.sort_key))
    return replace(worked, findings=findings)


def _once_each(found: Sequence[Finding]) -> Iterator[Finding]:
    """Yield what is found on pages once for each cause: what is too long for one sheet is so for others, and a picture
    that cannot be used is missed wherever it is named."""
    unused = {one.place.file for one in found if one.code in ("picture-too-large", "picture-unreadable")}
    told: set[Place] = set()
    for one in found:
        missed = one.code == "text-picture-missing" and f"pictures/{dict(one.message.values)['name']}" in unused
        again = one.code == "sheet-entry-too-long" and one.place in told
        if one.code == "sheet-entry-too-long":
            told.add(one.place)
        if not missed and not again:
            yield one


def make_guide(
    content: pathlib.Path,
    theme: Theme,
    *,
    stop_on: str,
    cache: Cache | None = None,
    told: Told | None = None,
    earlier: Earlier | None = None,
    language: str = "",
) -> tuple[Worked, SiteFiles | None]:
    """Work a guide out and make its site; None for the site when the findings stop it. ``told`` is
    called with how many pages are made, of how many; what ``earlier`` knows is not made anew."""
    if earlier is None:
        worked = work_out(content, language=language)
    else:
        worked = work_out(content, ready=earlier.ready, language=language)
    if worked.usable is None or stops(worked.findings, stop_on):
        return worked, None
    guide, limits, key = worked.usable
    site, found = make_site(
        content,
        theme,
        guide=guide,
        limits=limits,
        key=key,
        tally=derive_tally(limits, key),
        cache=cache,
        told=told,
        reprint=None if earlier is None else earlier.reprint,
    )
    worked = _with_more(worked, found)
    return worked, None if stops(worked.findings, stop_on) else site
