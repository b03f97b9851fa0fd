"""Pastes what the tally suggests into the files of a guide, as an editor would: beneath the line that is named."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

__all__ = ["paste"]


def paste(content: pathlib.Path, suggested: Iterable[Mapping[str, Any]]) -> None:
    """Paste suggestions, as `tally --json` gives them, into a content folder, moved in as far as what comes next there;
    `survives` takes the place of the mark's own."""
    by_file: dict[str, list[Mapping[str, Any]]] = {}
    for one in suggested:
        by_file.setdefault(one["file"], []).append(one)
    for file, several in by_file.items():
        path = content / file
        lines = path.read_text(encoding="utf-8").split("\n")
        stated = [one for one in several if one["form"]]
        # From the foot of the file up; of those beneath one line the one that begins the list comes first.
        for one in sorted(stated, key=lambda one: (-one["line"], not one["paste"].startswith("stated:"))):
            at = one["line"] + lines[one["line"]].strip().startswith("stated:")  # beneath the key, where it is there
            inward = _inward(lines[at - 1], lines[at:], is_item=one["paste"].startswith("-"))
            lines[at:at] = [" " * inward + line for line in one["paste"].split("\n")]
        for one in (one for one in several if not one["form"]):
            at = next(at for at, line in enumerate(lines) if line.startswith("survives:"))
            lines[at] = one["paste"]
        path.write_text("\n".join(lines), encoding="utf-8")


def _inward(above: str, below: Iterable[str], *, is_item: bool) -> int:
    """Return how far in a line goes: as its like that comes next, else two beyond the line above it."""
    after = next((line for line in below if line.strip() and not line.strip().startswith("#")), "")
    of_above, of_after = (len(line) - len(line.lstrip()) for line in (above, after))
    if is_item:
        return of_after if of_after >= of_above and after.lstrip().startswith("- ") else of_above + 2
    return of_after if of_after > of_above else of_above + 2
