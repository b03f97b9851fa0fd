"""What `build.py help FINDING` shows: a mistake of each kind as it was typed, and as it is mended.

Taken from the tables of mistakes, of each kind the first that is short; `python -m tests.mistakes.examples` writes them
anew, and a test holds them to the tables.
"""

from __future__ import annotations

import difflib
import json
import pathlib
import tempfile
from dataclasses import replace

from guide.command.lookup import EXAMPLES
from tests.mistakes.at_the_desk import AT_THE_DESK
from tests.mistakes.mistake import Mistake
from tests.mistakes.rarer import RARER
from tests.mistakes.spoil import common, spoilt, typed
from tests.mistakes.table import MISTAKES

__all__ = ["text"]

_MOST_LINES, _LONGEST, _BESIDE = 4, 130, 30
_TEXTS = (".yml", ".csv", ".md", ".svg")


def _examples() -> dict[str, list[str]]:
    """Return for each kind of finding the file and the lines typed wrong, and the file and the lines as mended; a file
    alone, under its wrong name and its right one, where that is what is mistaken."""
    found: dict[str, list[str]] = {}
    for mistake in (*MISTAKES, *AT_THE_DESK, *RARER):
        if mistake.code not in found and (shown := _shown(mistake)):
            found[mistake.code] = shown
    return dict(sorted(found.items()))


def _shown(mistake: Mistake) -> list[str] | None:
    if mistake.becomes:
        return [mistake.becomes, "", mistake.file, ""]
    typed_in = mistake.file.endswith(_TEXTS) and isinstance(mistake.wrong, str) and mistake.encoding == "utf-8"
    if not (typed_in and mistake.right != "*") and not mistake.mend:
        return None
    good, spoilt_, mended_in, mended = _texts(mistake)
    file, before, after = mistake.file, spoilt_.get(mistake.file, ""), mended[mended_in]
    wrong, right = _changed(before, good.get(file, "")), _changed(after, spoilt_[mended_in] if mistake.mend else before)
    if wrong is None and mistake.mend:  # a whole file is what was typed: of that the lines that are mended
        file, wrong = mended_in, _changed(spoilt_[mended_in], after)
        right = right or _changed(after, spoilt_[mended_in], 2 * _MOST_LINES)
    if wrong is None or right is None:
        return None
    if max(map(len, f"{wrong}\n{right}".split("\n"))) > _LONGEST:
        wrong, right = _around(wrong, right)
    return [file, wrong, mended_in, right]


def _around(wrong: str, right: str) -> tuple[str, str]:
    """Return long lines with what differs in them and the words beside it."""
    first = len(common(wrong, right))
    ends = len(common(wrong[first:][::-1], right[first:][::-1]))
    begin = wrong.rfind(" ", 0, max(first - _BESIDE, 0)) + 1
    beyond = wrong.find(" ", len(wrong) - ends + _BESIDE) if ends > _BESIDE else -1
    cut = len(wrong) - beyond if beyond >= 0 else 0

    def part(text: str) -> str:
        inside = text[begin : len(text) - cut]
        if len(inside) > 2 * _LONGEST:  # the same over and over
            inside = f"{inside[:_LONGEST]} … {inside[-_BESIDE:]}"
        return f"{'… ' if begin else ''}{inside}{' …' if cut else ''}"

    return part(wrong), part(right)


def _changed(text: str, other: str, most: int = _MOST_LINES) -> str | None:
    """Return the lines of a text that another has otherwise, with the one before where either has none there; None
    where they are many."""
    lines, others = text.split("\n"), other.split("\n")
    steps = difflib.SequenceMatcher(None, lines, others, autojunk=False).get_opcodes()
    changed = [step for step in steps if step[0] != "equal"]
    if not changed:
        return None
    first, last = changed[0][1], changed[-1][2]
    first -= first == last or changed[0][3] == changed[-1][4]
    shown = [line for line in lines[first:last] if line]
    return "\n".join(shown) if 0 < len(shown) <= most else None


def _texts(mistake: Mistake) -> tuple[dict[str, str], dict[str, str], str, dict[str, str]]:
    """Return the files' texts before the mistake, with it, which file it is mended in, and the texts after that."""
    with tempfile.TemporaryDirectory() as folder:
        content = spoilt(mistake, pathlib.Path(folder) / "content")
        wrong = _read(content)
        as_meant = replace(mistake, wrong=mistake.right)
        good = _read(spoilt(as_meant, pathlib.Path(folder) / "good")) if mistake.right else wrong | {mistake.file: ""}
        if not mistake.mend:
            return good, wrong, mistake.file, good
        for mend in mistake.mend:
            typed(content, *mend)
        return good, wrong, mistake.mend[0][0], _read(content)


def _read(content: pathlib.Path) -> dict[str, str]:
    every = (path for path in content.rglob("*") if path.name.endswith(_TEXTS))
    return {path.relative_to(content).as_posix(): path.read_text(encoding="utf-8") for path in every}


def text() -> str:
    """Return the examples as the file has them."""
    return json.dumps(_examples(), ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    EXAMPLES.write_text(text(), encoding="utf-8", newline="\n")
