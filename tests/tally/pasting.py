"""Pastes what the tally suggests into the files of a guide, as an editor would: where and in the way that it says."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

__all__ = ["paste"]


def paste(content: pathlib.Path, suggested: Iterable[Mapping[str, Any]]) -> None:
    """Paste suggestions, as `tally --json` gives them, into a content folder."""
    by_file: dict[str, list[Mapping[str, Any]]] = {}
    for one in suggested:
        by_file.setdefault(one["file"], []).append(one)
    for file, several in by_file.items():
        path = content / file
        lines = path.read_text(encoding="utf-8").split("\n")
        # From the foot of the file up; of those at one place, what goes into the one before it last.
        for one in sorted(several, key=lambda one: (-one["line"], one["way"] == "begun", -one["column"])):
            _paste(lines, one)
        path.write_text("\n".join(lines), encoding="utf-8")


def _paste(lines: list[str], one: Mapping[str, Any]) -> None:
    at, inward = one["line"], one["column"] - 1
    match one["way"]:
        case "beneath":
            lines[at:at] = [" " * inward + line for line in one["paste"].split("\n")]
        case "within":
            lines[at - 1] = f"{lines[at - 1][:inward]}{one['paste']} {lines[at - 1][inward:]}"
        case "begun" if one["paste"].startswith("-"):
            assert lines[at].lstrip() == "stated:"
            lines.insert(at + 1, " " * inward + one["paste"])
        case "begun":
            before, begun, after = lines[at - 1].partition("{stated: [")
            assert begun
            lines[at - 1] = f"{before}{begun}{one['paste']} {after}"
        case "instead":
            at = next(at for at, line in enumerate(lines) if line.startswith("survives:"))
            lines[at] = one["paste"]
        case way:
            raise AssertionError(way)
