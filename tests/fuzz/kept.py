"""Saves one change after another in an invented guide, and compares each guide made with what is kept with a cold one.

    python -m tests.fuzz.kept [--rounds 40] [--seed 1] [--size XS]

Dates, numbers, sources and kinds of statements, statements and cars seen come and gone, parts renamed, taken out and
put back, texts and shares: one to three of them at a time, drawn anew for every seed. Prints what was saved, and the
files that differ by a byte, which must be none; so must what is printed and the exit status.
"""

from __future__ import annotations

import argparse
import io
import re
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from random import Random

from guide.command import make
from guide.command.calls import Call
from guide.words.say import load_words
from tests.benchmarks.guides import SIZES, write_guide

_STATED = re.compile(r"\s+- (first|last|seen): ")
_MONTH = re.compile(r"196\d-\d\d$", re.MULTILINE)
_NUMBER = re.compile(r"([CD])(\d+)")


class Desk:
    """A guide's folder, and somebody who saves changes in it."""

    def __init__(self, content: Path, seed: int) -> None:
        self.content, self.chance = content, Random(seed)
        self._gone: dict[Path, str] = {}
        self._cars: list[str] = []  # lines of cars seen that are out of it
        self._changes: tuple[Callable[[Path], str], ...] = (
            *(self._moved,) * 3,
            *(
                self._source,
                self._stated,
                self._unstated,
                self._text,
                self._survival,
                self._car,
                self._drawer,
                self._name,
            ),
        )

    def save(self) -> str:
        """Save a change in a file that is drawn by lot; return what was done."""
        path = self.chance.choice(sorted((self.content / "marks").glob("*.yml")))
        change = self.chance.choice(self._changes)
        return f"{change.__name__[1:]} in {path.stem}: {change(path)}"

    def _statement(self, path: Path) -> tuple[list[str], int]:
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        return lines, self.chance.choice([at for at, line in enumerate(lines) if _STATED.match(line)])

    def _write(self, path: Path, text: str) -> None:
        path.write_text(text, encoding="utf-8", newline="\n")

    def _moved(self, path: Path) -> str:
        lines, at = self._statement(path)
        month = f"196{self.chance.randrange(1, 9)}-{self.chance.randrange(1, 13):02}"
        by = self.chance.randrange(-300, 300)
        lines[at] = _MONTH.sub(month, _NUMBER.sub(lambda one: f"{one[1]}{int(one[2]) + by}", lines[at]))
        self._write(path, "".join(lines))
        return lines[at].strip()

    def _source(self, path: Path) -> str:
        lines, at = self._statement(path)
        at = next(number for number in range(at, len(lines)) if "source:" in lines[number])
        lines[at] = re.sub(r"paper-\d+", f"paper-{self.chance.randrange(1, 4)}", lines[at])
        self._write(path, "".join(lines))
        return lines[at].strip()

    def _stated(self, path: Path) -> str:
        lines, at = self._statement(path)
        before = lines[at][: len(lines[at]) - len(lines[at].lstrip())]
        kind, month = (
            self.chance.choice(("first", "last")),
            f"196{self.chance.randrange(1, 9)}-0{self.chance.randrange(1, 9)}",
        )
        lines.insert(at, f"{before}- {kind}: {month}\n{before}  source: paper-1\n")
        self._write(path, "".join(lines))
        return f"{kind} {month}"

    def _unstated(self, path: Path) -> str:
        lines, at = self._statement(path)
        lines[at] = lines[at].replace("first: C", "seen: C")
        self._write(path, "".join(lines))
        return lines[at].strip()

    def _text(self, path: Path) -> str:
        self._write(path, path.read_text(encoding="utf-8").replace("\nabout: |\n  ", "\nabout: |\n  Indeed. ", 1))
        return "a word more"

    def _survival(self, path: Path) -> str:
        share = self.chance.choice(("few", "half", "most"))
        self._write(path, re.sub(r"survives: .*", f"survives: {share}", path.read_text(encoding="utf-8")))
        return share

    def _name(self, path: Path) -> str:
        self._write(path, re.sub(r"\Aname: ", "name: New ", path.read_text(encoding="utf-8")))
        return "renamed"

    def _car(self, _path: Path) -> str:
        """Take a line of cars seen out of the guide, or put one back."""
        table = self.content / "cars-seen" / "rallies.csv"
        rows = table.read_text(encoding="utf-8").splitlines(keepends=True)
        if self._cars and (len(rows) == 1 or self.chance.random() < 0.5):
            moved, did = self._cars.pop(), "put back"
            rows.insert(self.chance.randrange(1, len(rows) + 1), moved)
        else:
            moved, did = rows.pop(self.chance.randrange(1, len(rows))), "taken out"
            self._cars.append(moved)
        self._write(table, "".join(rows))
        return f"{moved.partition(',')[0]} {did}"

    def _drawer(self, path: Path) -> str:
        """Take a part's file out of the guide, which may then not be made, or put back the one that is out."""
        if self._gone:
            back, text = self._gone.popitem()
            self._write(back, text)
            return f"{back.stem} put back"
        self._gone[path] = path.read_text(encoding="utf-8")
        path.unlink()
        return "taken out"


def built(content: Path, out: Path) -> tuple[int, str, dict[str, bytes]]:
    """Return the status, what is printed, and the site of a build."""
    printed = io.StringIO()
    status = make.run(Call(content=content, out=out, words=load_words("en"), printed=printed))
    site = {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}
    return status, printed.getvalue().replace(out.as_posix(), "out"), site


def differing(rounds: int, seed: int, size: str, say: Callable[[str], object]) -> int:
    """Return after how many rounds of changes the guide made with what is kept was not the one made afresh."""
    found = 0
    with tempfile.TemporaryDirectory() as folder:
        content, out, afresh = (Path(folder) / name for name in ("content", "out", "afresh"))
        write_guide(content, SIZES[size], seed)
        desk = Desk(content, seed)
        built(content, out)
        for at in range(rounds):
            saved = [desk.save() for _ in range(desk.chance.choice((1, 1, 1, 2, 3)))]
            again, cold = built(content, out), built(content, afresh / "out")
            shutil.rmtree(afresh)
            same = again[:2] == cold[:2] and (cold[0] != 0 or again[2] == cold[2])
            found += not same
            names = sorted(name for name in again[2].keys() | cold[2].keys() if again[2].get(name) != cold[2].get(name))
            say(f"{at + 1}: {'; '.join(saved)}: {'the same' if same else f'DIFFERS: {names}'}")
    return found


def main() -> int:
    """Print each round; return 1 where one differs."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--size", default="XS", choices=SIZES)
    options = parser.parse_args()
    found = differing(options.rounds, options.seed, options.size, lambda said: print(said, flush=True))
    print(f"rounds that differ: {found} of {options.rounds}")
    return min(found, 1)


if __name__ == "__main__":
    sys.exit(main())
