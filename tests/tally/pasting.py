"""Pastes what the tally suggests into the files of a guide, as an editor would: where and in the way that it says."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

from guide.command.work import work_out
from guide.tally.count import Tally, derive_tally
from guide.tally.suggest import paste_of_survival

__all__ = ["paste", "suggested_by", "suggested_of"]


def suggested_of(content: pathlib.Path) -> list[dict[str, Any]]:
    """Return what the tally of a content folder suggests, as `suggested_by` does."""
    worked = work_out(content)
    assert worked.limits is not None
    return suggested_by(derive_tally(worked.limits, worked.key))


def suggested_by(tally: Tally) -> list[dict[str, Any]]:
    """Return what a tally suggests, each line with its place and the way it is typed there."""
    marks = tally.limits.moments.guide.marks
    found: list[dict[str, Any]] = [
        {
            "form": one.form,
            "file": one.at.line.file,
            "line": one.at.line.line,
            "way": one.at.way,
            "column": {"within": one.at.line.column + 1, "single": one.at.line.column}.get(
                one.at.way, one.at.inward + 1
            ),
            "paste": one.paste,
        }
        for one in (effect.suggestion for effect in tally.effects)
    ]
    for one in tally.survives_otherwise:
        place = marks[one.mark].place
        said = {"form": None, "file": place.file, "line": place.line, "paste": paste_of_survival(one)}
        found.append({**said, "way": "instead", "column": 1})
    return found


def paste(content: pathlib.Path, suggested: Iterable[Mapping[str, Any]]) -> None:
    """Paste what is suggested into a content folder."""
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
        case "single":
            line, ends = lines[at - 1], lines[at - 1].rindex("}") + 1
            lines[at - 1] = f"{line[:inward]}[{one['paste']} {line[inward:ends]}]{line[ends:]}"
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
