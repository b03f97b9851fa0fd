"""`build.py rename KIND/OLD NEW`: one thing gets another id, wherever it is named, and says what it was called.

What names it is known from reading: each reference stands at its place. What is read as part of a longer text (a scope,
the name of a statement in a ruling, a link) is looked for by its form. Nothing but the id is changed, so remarks and
spacing stay. The facts are read again afterwards; should that find an error that was not there, all is put back.
"""

from __future__ import annotations

import json
import pathlib
import re
from collections.abc import Iterator
from typing import TextIO

from guide.command.calls import CallIsOff
from guide.facts.read import GuideRead, read_guide
from guide.facts.text.desk import id_problem
from guide.finding import Severity
from guide.sentence import one_of
from guide.words.say import Words

__all__ = ["KINDS", "run"]

# Each kind: the sentence by which a reference to one is recorded, and where it stands: a file of its own, or a key.
KINDS: dict[str, tuple[str, str]] = {
    "mark": ("unknown-mark", "marks/"),
    "form": ("unknown-form", ""),
    "source": ("unknown-source", "sources.yml"),
    "period": ("unknown-period", "periods.yml"),
    "interior": ("unknown-interior", "interiors.yml"),
    "area": ("unknown-area", "areas.yml"),
}
_Files = dict[str, str]
_END = r"(?![\w-])"


def run(content: pathlib.Path, which: str, new: str, words: Words, out: TextIO, *, as_json: bool) -> int:
    """Rename, say in how many places, and return the exit status. Raises CallIsOff where that makes no sense."""
    kind, _, old = which.partition("/")
    mark, _, form = old.partition("/") if kind == "form" else ("", "", "")
    old = form or old
    if kind not in KINDS or not old or (kind == "form" and not mark):
        raise CallIsOff.of("rename.no-kind", typed=which, known=one_of(KINDS))
    if id_problem(new, "") is not None:
        raise CallIsOff.of("rename.bad-id", typed=new)
    reading = read_guide(content)
    before = {name: "\n".join(lines) for name, lines in reading.lines.items()}
    stands = f"marks/{mark}.yml" if kind == "form" else KINDS[kind][1] + (f"{old}.yml" if kind == "mark" else "")
    there = set(_ids(reading, kind, mark))
    if old not in there or stands not in before:
        raise CallIsOff.of("rename.not-there", kind=kind, typed=old)
    if new in there:
        raise CallIsOff.of("rename.taken", kind=kind, typed=new)
    after, places = _renamed(reading, before, kind, mark, old, new)
    after[stands] = _with_formerly(after[stands], "" if kind == "mark" else old, new, old, nested=kind == "form")
    moves = _moves(content, reading, kind, mark, old, new)
    _write(content, before, after, moves)
    errors = {one.code for one in reading.findings if one.severity is Severity.ERROR}
    found = [one for one in read_guide(content).findings if one.severity is Severity.ERROR and one.code not in errors]
    if found:
        _write(content, after, before, {there: here for here, there in moves.items()})
        raise CallIsOff.of("rename.undone", typed=which, why=found[0].message)
    if as_json:
        print(json.dumps({"format": 1, "kind": kind, "old": old, "new": new, "places": places}), file=out)
    else:
        print(words.say("command.rename.done", old=old, new=new, n=places), file=out)
    return 0


def _ids(reading: GuideRead, kind: str, mark: str) -> Iterator[str]:
    guide = reading.guide
    if guide is None:
        return
    if kind == "form":
        yield from guide.marks[mark].forms if mark in guide.marks else ()
    else:
        yield from getattr(guide, f"{kind}s")


def _renamed(reading: GuideRead, files: _Files, kind: str, mark: str, old: str, new: str) -> tuple[_Files, int]:
    """Return the files with every reference renamed, and in how many places that was."""
    lines = {name: text.split("\n") for name, text in files.items()}
    taken: set[tuple[str, int, int]] = set()
    at = f"{mark}/{old}" if kind == "form" else old
    for says, place, text, of in reading.references:
        named = text.partition(" ")[0] if kind == "source" else text
        ours = kind != "form" or of == f"marks/{mark}.yml"
        if says.endswith(KINDS[kind][0]) and named == old and ours and place.file in lines:
            line, start = lines[place.file][place.line - 1], place.column - 1
            within = re.compile(rf"(?<![\w-]){re.escape(old)}{_END}")
            whole = re.compile(rf"(?<![\w-]){re.escape(mark)}/({re.escape(old)}){_END}").match(line, start)
            found = whole.start(1) if whole else (match.start() if (match := within.search(line, start)) else -1)
            if found >= 0:
                taken.add((place.file, place.line - 1, found))
    for name, row, start in _in_longer_texts(lines, kind, at, old):
        taken.add((name, row, start))
    for name, row, start in sorted(taken, reverse=True):
        line = lines[name][row]
        lines[name][row] = line[:start] + new + line[start + len(old) :]
    return {name: "\n".join(rows) for name, rows in lines.items()}, len(taken)


def _in_longer_texts(lines: dict[str, list[str]], kind: str, at: str, old: str) -> Iterator[tuple[str, int, int]]:
    """Yield where an id stands within a text: a link, a scope, the name of a statement, a heading."""
    quoted, whole = re.escape(old), re.escape(at)
    ways = [rf"\]\({kind}:({quoted})\)"]
    if kind == "source":
        ways.append(rf"(?:set aside|read): *[\"']?({quoted})(?= )")
    if kind == "period":
        ways.append(rf"\b(?:start|end) of (?:the )?({quoted}){_END}")
    if kind == "interior":
        ways.append(rf"\binterior: *(?:\[[^\]]*?)?({quoted}){_END}")
        ways.append(rf"\b(?:for|only if): *({quoted}){_END}")
    if kind in ("mark", "form"):
        part = whole.replace(quoted, f"({quoted})") if kind == "form" else f"({quoted})/"
        ways.append(rf"(?:set aside|read): *[\"']?[^\"']*? {part}")
    for name, rows in lines.items():
        for row, line in enumerate(rows):
            for way in ways:
                yield from ((name, row, match.start(1)) for match in re.finditer(way, line))
        if kind == "mark" and name.startswith("cars-seen/") and rows:
            yield from ((name, 0, one.start()) for one in re.finditer(rf"(?<![^,;\t]){quoted}(?![^,;\t\r])", rows[0]))


def _with_formerly(text: str, key: str, new: str, old: str, *, nested: bool) -> str:
    """Return a file with the record's own id renamed, where that stands in it, and with what it was called."""
    if not key:
        said = re.search(r"^formerly: *(.*)$", text, re.MULTILINE)
        if said:
            return text[: said.start()] + f"formerly: {_joined(said[1], old)}" + text[said.end() :]
        first = re.search(r"^[a-z]", text, re.MULTILINE)
        start = first.start() if first else 0
        return f"{text[:start]}formerly: {old}\n{text[start:]}"
    inset = r"[ ]+" if nested else ""
    opened = re.search(rf"^(?P<inset>{inset}){re.escape(key)}:(?P<rest>.*)$", text, re.MULTILINE)
    assert opened, "its id was read, so it stands there"
    own, rest, below = opened["inset"], opened["rest"], text[opened.end() :]
    if rest.strip().startswith("{"):
        inner = rest.replace("{", f"{{formerly: {old}, ", 1)
        said = re.search(r"formerly: *(\[[^\]]*\]|[\w-]+)", rest)
        inner = rest.replace(said[0], f"formerly: {_joined(said[1], old)}") if said else inner
        return f"{text[: opened.start()]}{own}{new}:{inner}{below}"
    deeper = re.match(r"(?:\s*\n)*( +)", below)
    child = deeper[1] if deeper else own + "  "
    record = re.match(rf"(?:\n(?:{child}.*|\s*))*", below)
    within = record[0] if record else ""
    said = re.search(rf"^{child}formerly: *(.*)$", within, re.MULTILINE)
    if said:
        joined = f"{child}formerly: {_joined(said[1], old)}"
        below = within[: said.start()] + joined + within[said.end() :] + below[len(within) :]
        return f"{text[: opened.start()]}{own}{new}:{rest}{below}"
    return f"{text[: opened.start()]}{own}{new}:{rest}\n{child}formerly: {old}{below}"


def _joined(said: str, old: str) -> str:
    return f"[{', '.join((*re.findall(r'[a-z0-9-]+', said), old))}]"


def _moves(
    content: pathlib.Path, reading: GuideRead, kind: str, mark: str, old: str, new: str
) -> dict[pathlib.Path, pathlib.Path]:
    """Return the files that get another name: a mark's own, and drawings that are found by its name and a form's."""
    moves = {content / "marks" / f"{old}.yml": content / "marks" / f"{new}.yml"} if kind == "mark" else {}
    if kind in ("mark", "form") and reading.guide is not None:
        owner = reading.guide.marks[old if kind == "mark" else mark]
        for form in owner.forms.values() if kind == "mark" else (owner.forms[old],):
            usual = f"{owner.id}-{form.id}"
            better = f"{new}-{form.id}" if kind == "mark" else f"{mark}-{new}"
            for path in sorted((content / "pictures").glob(f"{usual}.*")):
                if form.picture == path.name and not hasattr(form.picture, "place"):  # not named, but found by its name
                    moves[path] = path.with_name(better + path.suffix)
    return moves


def _write(content: pathlib.Path, before: _Files, after: _Files, moves: dict[pathlib.Path, pathlib.Path]) -> None:
    for name, text in after.items():
        path = content / name
        if text != before[name] and path.exists():
            data = path.read_bytes()
            ends = "\r\n" if b"\r\n" in data else "\n"
            mark = "\ufeff" if data.startswith(b"\xef\xbb\xbf") else ""
            path.write_text(mark + text, encoding="utf-8", newline=ends)
    for here, there in moves.items():
        here.rename(there)
