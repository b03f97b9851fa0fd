"""private/letters/: copies of letters that were sent, each a file that `build.py letter --keep` writes.

An editor may add to one. Whatever else lies in ``private/`` is read by nobody. No stage that makes a guide opens that
folder (`guide.facts.text.folder` leaves it out), so that nothing in it can be published; a letter that cannot be read
is set aside with a warning.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from enum import StrEnum
from pathlib import Path

from guide.facts.records.fields import Reader, key, list_of, read_record, record
from guide.facts.records.readers import choice, date_only, day, lately, said, text
from guide.facts.text.desk import Desk
from guide.facts.text.folder import LETTERS, Folder
from guide.facts.text.source import Node
from guide.facts.values import Text, When
from guide.finding import Finding, Place
from guide.sentence import sentence

__all__ = ["Depth", "KeptLetter", "read_letters"]

_FITTED = "{switches: rocker}"
_MISNAMED = (".yaml", ".yml.txt", ".yml")


class Depth(StrEnum):
    """How much a letter says."""

    LETTER = "letter"
    LIST = "list"
    QUOTE = "quote"


def _fitted(node: Node, desk: Desk) -> Mapping[str, Text]:
    pairs = desk.pairs_of(node, "facts.wrong-shape.left-with", example=_FITTED)
    read = ((str(mark), text.read(forms, desk)) for mark, forms in pairs)
    return {mark: forms for mark, forms in read if forms is not None}


@record("kept-letter")
class KeptLetter:
    """A letter that was sent: what was asked, what it said, of which edition; to whom is nobody else's business."""

    car: str = key(text, default="")  # its numbers, joined by "+"
    answers: str = key(text, default="")  # as the key gives them to be pasted: "switches=rocker belts=changed"
    known: str = key(text, default="")  # in the same way: "part:belts=1968-03"
    depth: Depth = key(choice(Depth, "depth"))
    edition: str = key(said)
    fingerprint: str = key(text, default="")
    sent: date = key(lately(day))
    sent_to: str = key(text, default="")
    remarks: str = key(text, default="")
    built: tuple[When, ...] = key(list_of(date_only.read, "whens"), default=())  # the spans of nine in ten
    # By mark, the forms joined by "+"; with "?" behind them where it said that they are likely and not sure:
    left_with: Mapping[str, str] = key(
        Reader(sentence("facts.shape.left-with", example=_FITTED), _fitted), "left the works with", default_factory=dict
    )
    says: str = key(text, default="")  # the letter itself
    place: Place


def read_letters(content: Path, today: date | None = None) -> tuple[tuple[KeptLetter, ...], tuple[Finding, ...]]:
    """Return the letters kept beside a guide's facts, in the order of their files, and what is wrong with them."""
    desk = Desk((), today)
    paths = sorted((content / LETTERS).glob("*")) if (content / LETTERS).is_dir() else []
    files = [f"{LETTERS}/{path.name}" for path in paths if path.is_file() and not path.name.startswith((".", "~$"))]
    folder, read = Folder(content, tuple(files)), list[KeptLetter]()
    with desk.setting_aside():
        for name in files:
            if not name.endswith(".yml"):
                ending = next((one for one in _MISNAMED if name.lower().endswith(one)), "")
                if ending:
                    better = f"{name.rpartition('/')[2][: -len(ending)]}.yml"
                    desk.find("facts.file-not-read.ending", Place(name), folder=LETTERS, ending=".yml", better=better)
                continue
            node = folder.node_of(name, desk)
            letter = None if node is None else read_record(KeptLetter, node, desk)
            read += [letter] if letter is not None else []
    return tuple(read), desk.findings
