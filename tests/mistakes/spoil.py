"""What is found in a guide with one mistake in it, and what typing in the put-right makes of it."""

from __future__ import annotations

import itertools
import pathlib
import re
import shutil
from collections.abc import Iterator

from guide.command.work import check_guide_whole
from guide.facts.records.letters_kept import read_letters
from guide.finding import Finding, mend_order
from guide.press.theme import open_theme
from tests.mistakes.mistake import Mistake
from tests.told import ENGLISH

__all__ = ["GUIDE", "common", "findings_of", "line_of", "mended", "spoilt"]

GUIDE = pathlib.Path(__file__).parent / "guide"
_THEME = open_theme()


def spoilt(mistake: Mistake, content: pathlib.Path) -> pathlib.Path:
    """Return the guide with the mistake in it."""
    shutil.copytree(GUIDE, content)
    for besides in mistake.besides:
        typed(content, *besides)
    path = content / mistake.file
    if isinstance(mistake.wrong, bytes):
        path.write_bytes(mistake.wrong)
        return content
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    if mistake.right == "*" or not path.exists():
        text = mistake.wrong
    assert mistake.right == "*" or mistake.right in text, f"{mistake.right!r} does not stand there"
    text = text.replace(mistake.right, mistake.wrong, 1) if mistake.right not in ("", "*") else text
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding=mistake.encoding, newline="\n")
    if mistake.becomes:
        (content / mistake.becomes).parent.mkdir(exist_ok=True)
        path.rename(content / mistake.becomes)
    return content


def typed(content: pathlib.Path, file: str, right: str, wrong: str) -> None:
    """Type one thing in place of another, or a new file where nothing is to be replaced."""
    path = content / file
    text = path.read_text(encoding="utf-8") if right else wrong
    assert right in text, f"{right!r} does not stand there"
    path.write_text(text.replace(right, wrong, 1) if right else text, encoding="utf-8", newline="\n")


def findings_of(content: pathlib.Path) -> tuple[Finding, ...]:
    """Return what is found, in the order of mending."""
    return mend_order((*check_guide_whole(content, _THEME).findings, *read_letters(content)[1]))


def line_of(mistake: Mistake) -> int:
    """Return the line where the finding is to stand."""
    if mistake.line:
        return mistake.line
    text = (GUIDE / mistake.file).read_text(encoding="utf-8")
    for file, right, wrong in mistake.besides:
        text = text.replace(right, wrong, 1) if file == mistake.file else text
    same = len(common(mistake.right, str(mistake.wrong)))
    return text.count("\n", 0, text.index(mistake.right) + same) + 1


def common(one: str, other: str) -> str:
    """Return what two texts begin with alike."""
    return "".join(a for a, _ in itertools.takewhile(lambda both: both[0] == both[1], zip(one, other, strict=False)))


def mended(content: pathlib.Path, finding: Finding) -> bool:
    """Tell whether one of the ways to type in what a finding says to write leaves nothing to put right."""
    path = content / finding.place.file
    text = path.read_text(encoding="utf-8")
    tried = set()
    for line in _ways(text.split("\n")[finding.place.line - 1], finding):
        lines = text.split("\n")
        lines[finding.place.line - 1] = line
        if line not in tried:
            tried.add(line)
            path.write_text("\n".join(lines), encoding="utf-8", newline="\n")
            if not findings_of(content):
                return True
    path.write_text(text, encoding="utf-8", newline="\n")
    return False


def _ways(line: str, finding: Finding) -> Iterator[str]:
    """Yield the line with what is to be written in place of what was found, of what stands there, of all of it."""
    said, found = ENGLISH.tell(finding.put_right), ENGLISH.tell(finding.message)
    to_write = re.findall(r"`([^`]+)`", said)
    begins, ends = "(?:write|this:|all of it:|use|rename it to)", "(?:,? or .*|[,;:] .*| for .*| if .*)?$"
    to_write += re.findall(rf"{begins} ([^`]+?){ends}", said)
    to_write += re.findall(r"(?:write|this:|all of it:) (.+)$", said)
    before, rest = line[: finding.place.column - 1], line[finding.place.column - 1 :]
    strange = [one.strip("'’‘“”") for one in re.findall(r"['‘“](.+?)['’”]", found)] + re.findall(r"`([^`]+)`", found)
    for new in to_write:
        for old in strange:
            if old.rstrip(":") in rest:
                yield before + rest.replace(old, new.rstrip(":") if not old.endswith(":") else new, 1)
        for ends_at in (r"[\s,:}\]]|$", r"[,}\]]|$", "$"):
            stop = re.search(ends_at, rest)
            yield before + new.rstrip(":") + (rest[stop.start() :] if stop else "")
            yield before + new + (rest[stop.start() :] if stop else "")
        inset = re.match(r"\s*(?:- )?", line)
        yield (inset[0] if inset else "") + new
