"""The small guide that `start` makes, with other files laid over it: what an editor of a new guide would have typed."""

from __future__ import annotations

import pathlib
import shutil
from collections.abc import Mapping
from types import MappingProxyType

from guide.command.start import STARTER
from guide.facts.read import read_guide
from guide.facts.types import Guide
from tests.told import ENGLISH

__all__ = ["change", "guide_in", "started"]


def started(
    folder: pathlib.Path, files: Mapping[str, str] = MappingProxyType({}), over: pathlib.Path | None = None
) -> pathlib.Path:
    """Return a content folder within ``folder``: the starter's files, those of ``over`` and those given written over or
    beside them.

    An empty text takes a file out.
    """
    content = folder / "content"
    shutil.copytree(STARTER, content)
    if over is not None:
        shutil.copytree(over, content, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt"))
    for name, text in files.items():
        path = content / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        if not text:
            path.unlink()
    return content


def change(content: pathlib.Path, file: str, old: str, new: str) -> None:
    """Type one thing in place of another in a file, where it first stands; it has to stand there."""
    path = content / file
    text = path.read_text(encoding="utf-8")
    assert old in text, (file, old)
    path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


def guide_in(content: pathlib.Path) -> Guide:
    """Return the guide of a content folder that reads without a finding."""
    reading = read_guide(content)
    assert reading.guide is not None
    assert reading.findings == (), [finding.line(ENGLISH) for finding in reading.findings]
    return reading.guide
