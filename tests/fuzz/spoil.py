"""Spoilt guides: a small guide with a few things in it changed at random, read and worked out, some laid out whole.

Whatever comes in, nothing is thrown, nothing takes ten seconds, every error names a file and a line, and no guide is
refused without an error. `python -m tests.fuzz.spoil --guides 20000 --seed 1` tries that many and prints what failed,
each with the seed that makes it again: `--seed 1234 --guides 1`.

Each guide has a seed of its own, so that a range of seeds can be split over machines and days.
"""

from __future__ import annotations

import argparse
import csv
import io
import json
import os
import pathlib
import random
import re
import shutil
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import yaml

from guide.command.start import STARTER
from guide.command.work import make_guide, work_out
from guide.finding import Severity
from guide.press.theme import open_theme

SLOWEST_SECONDS = 10.0  # of its own work: on a busy machine a clock on the wall accuses the wrong one
LAID_OUT_EVERY = 8  # seeds: making a site takes six times as long as reading and working it out
Files = dict[str, bytes]

STATEMENTS = """mark,form,kind,when,source,page
roof-lamp,round,seen,S540,register,
door-handle,lever,last,1962-06,parts-list,3
"""
CARS_SEEN = """car,built,untouched,seen on,source,remarks,roof-lamp,door-handle
S540,,yes,2019-06-01,register,,round,lever
S1100,1963-05,no,2019-06-01,register,Locked.,square,cannot-tell
"""

# What people type by mistake, what other programs write, and what stands at the edges of what can be read.
_TYPED: dict[str, list[str]] = json.loads((pathlib.Path(__file__).parent / "values.json").read_text(encoding="utf-8"))
WHENS, WORDS, NUMBERS, KEYS, SIGNS = (_TYPED[name] for name in ("whens", "words", "numbers", "keys", "signs"))
ODD = (*_TYPED["odd"], "9" * 400, "x" * 70_000)


def base() -> Files:
    """Return the small guide that everything is done to."""
    found = {
        path.relative_to(STARTER).as_posix(): path.read_bytes() for path in sorted(STARTER.rglob("*")) if path.is_file()
    }
    return found | {"statements.csv": STATEMENTS.encode(), "cars-seen/show.csv": CARS_SEEN.encode()}


def value(dice: random.Random) -> str:
    """Return something that may stand where something else was expected."""
    return dice.choice(
        (*(dice.choice(kind) for kind in (WHENS, WORDS, NUMBERS, ODD, KEYS)), str(dice.randrange(-5, 3000)))
    )


def spoil_text(data: bytes, dice: random.Random) -> bytes:
    """Change a file as a slip of the hand would: a line lost, doubled or moved, a sign, a margin, a value."""
    lines = data.decode("utf-8", "replace").split("\n")
    at = dice.randrange(len(lines))
    line = lines[at]
    way = dice.randrange(9)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(at, line)
    elif way == 2:
        lines.insert(dice.randrange(len(lines)), lines.pop(at))
    elif way == 3:
        place = dice.randrange(len(line) + 1)
        lines[at] = line[:place] + dice.choice(SIGNS) + line[place:]
    elif way == 4:
        lines[at] = " " * dice.randrange(9) + line.lstrip()
    elif way == 5 and line:
        place = dice.randrange(len(line))
        lines[at] = line[:place] + line[place + dice.randrange(1, 4) :]
    elif way == 6:
        key, colon, _ = line.partition(":")
        lines[at] = f"{key}{colon or ':'} {value(dice)}"
    elif way == 7:
        lines[at:] = []
    else:
        return "\n".join(lines).encode(dice.choice(["utf-16", "utf-8-sig", "cp1252", "latin-1"]), "replace")
    return "\n".join(lines).encode("utf-8", "replace")


def spots(node: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the way to everything in a tree of what YAML holds."""
    yield path
    inside = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, inner in inside:
        yield from spots(inner, (*path, key))


def _like(text: str, dice: random.Random) -> str:
    """Return something of the same kind, so that it is read and the later stages have to live with it."""
    day = f"19{dice.randrange(58, 66)}-{dice.randrange(1, 13):02}-{dice.randrange(1, 29):02}"
    number = f"S{dice.randrange(1250):03}"
    when = dice.choice(
        (day, day[:7], day[:4], number, f"about {number}", f"by {day}", f"before {number}", f"{day[:4]}~")
    )
    if re.match(r"S\d", text):
        return dice.choice((number, f"{number}..S{dice.randrange(1250):03}", when, dice.choice(NUMBERS)))
    if re.match(r"(about )?(\d{4}-|.*\d{4}$)", text):
        return dice.choice((day, when, dice.choice(WHENS)))
    if text.isdigit():
        return dice.choice(("0", "1", "-1", "10000", "99999999", "1.5", str(dice.randrange(3000))))
    return dice.choice((when, dice.choice(ODD), dice.choice(KEYS)))


def spoil_tree(data: bytes, dice: random.Random) -> bytes:
    """Change the tree that a file holds: a value, a key, something gone, doubled, wrapped or put elsewhere."""
    try:
        tree = yaml.load(data, yaml.BaseLoader)  # texts, lists and mappings only
    except (yaml.YAMLError, UnicodeError, ValueError):
        return spoil_text(data, dice)
    ways = [path for path in spots(tree) if path]
    if not ways:
        return spoil_text(data, dice)
    *above, key = dice.choice(ways)
    parent = tree
    for step in above:
        parent = parent[step]
    if isinstance(parent[key], str) and dice.random() < 0.5:
        parent[key] = _like(parent[key], dice)
        return yaml.safe_dump(tree, allow_unicode=True, sort_keys=False).encode("utf-8", "replace")
    way = dice.randrange(7)
    if way == 0:
        parent[key] = value(dice)
    elif way == 1:
        parent[key] = [parent[key], value(dice)]
    elif way == 2:
        parent[key] = {dice.choice(KEYS): parent[key]}
    elif way == 3:
        del parent[key]
    elif way == 4 and isinstance(parent, dict):
        parent[dice.choice((*KEYS, value(dice)))] = parent.pop(key)
    elif way == 5 and isinstance(parent, list):
        parent.append(parent[key])
    elif isinstance(parent[key], str):
        parent[key] = dice.choice(
            (parent[key].upper(), parent[key] + value(dice), dice.choice(NUMBERS), dice.choice(WHENS))
        )
    else:
        parent[key] = {value(dice): value(dice)}
    return yaml.safe_dump(tree, allow_unicode=True, sort_keys=False).encode("utf-8", "replace")


def spoil_table(data: bytes, dice: random.Random) -> bytes:
    """Change a table: a cell, a heading, a row too long or too short, another separator."""
    rows = list(csv.reader(io.StringIO(data.decode("utf-8", "replace").replace("\0", ""))))
    if not rows or not any(rows):
        return spoil_text(data, dice)
    row = dice.choice([row for row in rows if row])
    at = dice.randrange(len(row))
    if dice.random() < 0.5:
        row[at] = _like(row[at], dice)
        out = io.StringIO()
        csv.writer(out).writerows(rows)
        return out.getvalue().encode("utf-8", "replace")
    way = dice.randrange(4)
    if way == 0:
        row[at] = value(dice)
    elif way == 1:
        rows[0][dice.randrange(len(rows[0] or [""])) if rows[0] else 0 :] = [
            dice.choice((*KEYS, "car", "date", "note"))
        ]
    elif way == 2:
        row.insert(at, value(dice))
    else:
        del row[at]
    out = io.StringIO()
    csv.writer(out, delimiter=dice.choice(",,,;\t|")).writerows(rows)
    return out.getvalue().encode("utf-8", "replace")


def spoilt(seed: int) -> Files:
    """Return the small guide with one to three things in it changed; the same seed gives the same guide."""
    dice = random.Random(seed)
    files = base()
    for _ in range(dice.choice((1, 1, 1, 2, 3))):
        name = dice.choice(sorted(files))
        if dice.random() < 0.03:
            files[dice.choice((f"marks/{value(dice)[:30].replace('/', '_') or 'x'}.yml", "extra.yml", "README"))] = (
                files[name]
            )
        elif dice.random() < 0.02:
            del files[name]
        elif name.endswith(".csv"):
            files[name] = spoil_table(files[name], dice)
        elif name.endswith(".yml") and dice.random() < 0.7:
            files[name] = spoil_tree(files[name], dice)
        else:
            files[name] = spoil_text(files[name], dice)
    return files


def write(files: Files, folder: pathlib.Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    for name, data in files.items():
        path = folder / name
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        except (OSError, ValueError):
            continue  # a name that no file can have


def trouble(folder: pathlib.Path, *, laid_out: bool = False) -> str:
    """Return what reading and working out a guide, and where wished making its site, did that it must never do, or
    nothing."""
    began = time.process_time()
    try:
        if laid_out:
            worked, site = make_guide(folder, open_theme("", folder), stop_on="errors")
        else:
            worked, site = work_out(folder), None
    except Exception:
        lines = traceback.format_exc().strip().splitlines()
        places = [
            line.strip() for line in lines if line.strip().startswith("File") and f"{os.sep}guide{os.sep}" in line
        ]
        place = places[-1].split(f"{os.sep}guide{os.sep}")[-1] if places else ""
        return f"thrown: {lines[-1][:120]} ({place})"
    took = time.process_time() - began
    if took > SLOWEST_SECONDS:
        return f"took {took:.0f} s"
    errors = [finding for finding in worked.findings if finding.severity is Severity.ERROR]
    for finding in worked.findings:
        if finding.severity is Severity.ERROR and (not finding.place.file or finding.place.line < 1):
            return f"an error without file and line: {finding.code}"
    if (worked.key is None or (laid_out and site is None)) and not errors:
        return "refused without an error"
    return ""


def tried(seeds: range, tell: Callable[[int, str], None]) -> Counter[str]:
    """Try the guides of some seeds; tell every trouble, and return how often each came ("" for none)."""
    found: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as work:
        for seed in seeds:
            folder = pathlib.Path(work) / "guide"
            write(spoilt(seed), folder)
            said = trouble(folder, laid_out=seed % LAID_OUT_EVERY == 0)
            if said:
                tell(seed, said)
            found[said] += 1
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--guides", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    options = parser.parse_args()
    began = time.perf_counter()
    found = tried(
        range(options.seed, options.seed + options.guides), lambda seed, said: print(f"{seed}: {said}", flush=True)
    )
    bad = found.total() - found[""]
    print(f"{found.total()} guides in {time.perf_counter() - began:.0f} s; troubles: {bad}")
    for said, times in found.most_common():
        if said:
            print(f"{times:6} {said}")


if __name__ == "__main__":
    main()
