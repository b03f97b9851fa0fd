"""Pastes what the tally suggests into the files of a guide, as an editor would: beneath the line that is named."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

__all__ = ["paste"]


def paste(content: pathlib.Path, suggested: Iterable[Mapping[str, Any]]) -> None:
    """Paste suggestions, as `tally --json` gives them, into a content folder. A line is moved in as far as the one that
    it stands beneath, beyond it under the key that begins a list; `survives` takes the place of the mark's own."""
    by_file: dict[str, list[Mapping[str, Any]]] = {}
    for one in suggested:
        by_file.setdefault(one["file"], []).append(one)
    for file, several in by_file.items():
        path = content / file
        lines = path.read_text(encoding="utf-8").split("\n")
        begun = {one["line"] for one in several if one["paste"].startswith("stated:")}
        stated = [one for one in several if one["form"]]
        # From the foot of the file up; of those beneath one line the one that begins the list comes first.
        for one in sorted(stated, key=lambda one: (-one["line"], one["paste"].startswith("stated:"))):
            above = lines[one["line"] - 1]
            begins = one["paste"].startswith("stated:")
            inward = len(above) - len(above.lstrip()) + (2 if begins else 4 if one["line"] in begun else 0)
            lines[one["line"] : one["line"]] = [" " * inward + line for line in one["paste"].split("\n")]
        for one in (one for one in several if not one["form"]):
            at = next(at for at, line in enumerate(lines) if line.startswith("survives:"))
            lines[at] = one["paste"]
        path.write_text("\n".join(lines), encoding="utf-8")
