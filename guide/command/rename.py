"""`build.py rename KIND/OLD NEW`: one thing gets another id, wherever it is named, and says what it was called.

What names it is known from reading: each reference stands at its place. What is read as part of a longer text (the name
of a statement in a ruling, a link, an address copied from a page, a heading or an answer in a sheet of cars seen) is
looked for by its form. Nothing but the id is changed, so remarks and spacing stay. The facts are read again afterwards;
should that find an error that was not there, all is put back.
"""

from __future__ import annotations

import pathlib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from guide.command.calls import Call, CallIsOff
from guide.facts.read import GuideRead, read_guide
from guide.facts.text.desk import id_problem
from guide.finding import Place, errors_in
from guide.sentence import one_of

__all__ = ["KINDS", "run"]


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind of thing that has an id: what of a guide holds them, where one stands (in a folder, or under a key of a
    file), and which links of a text lead to it or to a page named after it.

    In a pattern OLD is its id, WITH that of another record in the same address, MARK that of the mark whose form it is.
    """

    held: str
    stands: str
    links: tuple[str, ...] = ()

    @property
    def has_file(self) -> bool:
        """Whether one is a file of its own, whose name is its id."""
        return self.stands.endswith("/")


_MARK = ("(?:mark|seen):OLD$", "forms:OLD/", r"(?:marks|seen)/OLD\.html", "forms/OLD-WITH-or-", "#mark-OLD$")
_FORM = ("forms:MARK/OLD/", "forms:MARK/WITH/OLD$", "forms/MARK-OLD-or-", r"forms/MARK-WITH-or-OLD\.", "#form-OLD$")
_TWO = ("apart:OLD/", "apart:WITH/OLD$", "apart/OLD-or-", r"apart/WITH-or-OLD\.html")
_PERIOD = ("(?:period|sheet):OLD(?:/|$)", "timeline:period/OLD$", r"timeline/period-OLD\.html")
_INTERIOR = ("interior:OLD$", "sheet:WITH/OLD$", r"interiors/OLD\.html", r"sheets/WITH-OLD\.html")
_AREA = ("area:OLD$", "timeline:area/OLD$", r"areas/OLD\.html", r"timeline/area-OLD\.html")
KINDS: dict[str, _Kind] = {
    "mark": _Kind("marks", "marks/", _MARK),
    "form": _Kind("forms", "", _FORM),
    "source": _Kind("sources", "sources.yml", (r"sources\.html#source-OLD(?:--|$)",)),
    "period": _Kind("periods", "periods.yml", (*_PERIOD, *_TWO, r"(?:periods|sheets)/OLD(?:-WITH)?\.html")),
    "interior": _Kind("interiors", "interiors.yml", (*_INTERIOR, *_TWO)),
    "area": _Kind("areas", "areas.yml", _AREA),
    "series": _Kind("series", "numbers/"),
    "word": _Kind("words", "words.yml", (r"words\.html#word-OLD$",)),
    "care": _Kind("care", "care/", (r"care\.html#care-OLD$",)),
}
_LINK = re.compile(r"\]\(([^)\s]*)\)")
_RULING = re.compile(r"(?:set aside|read): *(?=[\"']?[\w-])")
# How the name of a statement in a ruling, `source kind when`, says one.
_END_OF = (r"\b(?:start|end) of (?:the )?OLD(?![\w-])",)
_RULED = {
    "source": (r"(?<=: )[\"']?OLD(?= )",),
    "mark": ("(?<= )OLD(?=/)",),
    "form": (r"(?<![\w-])MARK/OLD(?![\w-])",),
    "period": _END_OF,
    "series": _END_OF,
}
# How a sheet of cars seen names one: among the answers pasted into a cell; in its headings.
_PASTED = {
    "mark": (r"(?<![\w-])OLD=",),
    "form": (r"(?<![\w-])MARK=(?:[\w-]+\+)*OLD(?![\w-])",),
    "series": (r"(?<![\w-])body=OLD(?![\w-])",),
    "interior": (r"(?<![\w-])interior=OLD(?![\w-])",),
}
_HEADED = dict.fromkeys(("mark", "series"), (r"(?<![^,;\t])OLD(?![^,;\t\r])",))
_Files = dict[str, str]
_END = r"(?![\w-])"


def run(call: Call) -> int:
    """Rename, say in how many places, and return the exit status. Raises CallIsOff where that makes no sense."""
    content, which, new = call.content, call.options.which, call.options.new
    kind, _, old = which.partition("/")
    mark, _, form = old.partition("/") if kind == "form" else ("", "", "")
    old = form or old
    if kind not in KINDS or not old or (kind == "form" and not mark):
        raise CallIsOff.of("rename.no-kind", typed=which, known=one_of(KINDS))
    if id_problem(new, "") is not None:
        raise CallIsOff.of("rename.bad-id", typed=new)
    reading = read_guide(content)
    before = {name: "\n".join(lines) for name, lines in reading.lines.items()}
    own_file = KINDS[kind].has_file
    stands = f"marks/{mark}.yml" if kind == "form" else KINDS[kind].stands + (f"{old}.yml" if own_file else "")
    there = _records(reading, kind, mark)
    now = next((id for id, one in there.items() if old in one.formerly), "") if old not in there else ""
    if now:
        raise CallIsOff.of(
            "rename.of-old", kind=kind, typed=old, now=now, better=f"{which.removesuffix(old)}{now} {new}"
        )
    if old not in there or stands not in before:
        raise CallIsOff.of("rename.not-there", kind=kind, typed=old)
    if new in there:
        raise CallIsOff.of("rename.taken", kind=kind, typed=new)
    after, places = _renamed(reading, before, kind, mark, old, new)
    place: Place | None = None if own_file else there[old].place
    if place is not None:  # where it stands now that others of its line may be longer
        ahead = sum(at < place.column - 1 for name, row, at in places if (name, row) == (stands, place.line - 1))
        place = Place(stands, place.line, place.column + ahead * (len(new) - len(old)))
    after[stands] = _with_formerly(after[stands], place, new, old)
    moves = _moves(content, reading, kind, mark, old, new)
    after = _with_pictures(after, moves)
    _write(content, before, after, moves)
    errors = {one.code for one in errors_in(reading.findings)}
    found = [one for one in errors_in(read_guide(content).findings) if one.code not in errors]
    if found:
        for here, named in moves.items():
            named.rename(here)
        _write(content, after, before, {})
        raise CallIsOff.of("rename.undone", typed=which, why=found[0].message)
    if call.as_json:
        call.print_json({"kind": kind, "old": old, "new": new, "places": len(places)})
    else:
        call.say("command.rename.done" if places else "command.rename.done.alone", old=old, new=new, n=len(places))
    return 0


def _records(reading: GuideRead, kind: str, mark: str) -> Mapping[str, Any]:
    """Return the records of a kind by their ids; the forms of a mark."""
    guide = reading.guide
    if guide is None or (kind == "form" and mark not in guide.marks):
        return {}
    return guide.marks[mark].forms if kind == "form" else getattr(guide, KINDS[kind].held)


def _renamed(
    reading: GuideRead, files: _Files, kind: str, mark: str, old: str, new: str
) -> tuple[_Files, set[tuple[str, int, int]]]:
    """Return the files with every reference renamed, and where each was: its file, its row, how far in it began."""
    lines = {name: text.split("\n") for name, text in files.items()}
    taken: set[tuple[str, int, int]] = set()
    for says, place, text, of in reading.references:
        named = text.partition(" ")[0] if kind == "source" else text
        ours = kind != "form" or of == f"marks/{mark}.yml"
        if says == f"unknown-{kind}" and named == old and ours and place.file in lines:
            line, start = lines[place.file][place.line - 1], place.column - 1
            within = re.compile(rf"(?<![\w-]){re.escape(old)}{_END}")
            whole = re.compile(rf"(?<![\w-]){re.escape(mark)}/({re.escape(old)}){_END}").match(line, start)
            found = whole.start(1) if whole else (match.start() if (match := within.search(line, start)) else -1)
            if found >= 0:
                taken.add((place.file, place.line - 1, found))
    taken |= set(_in_longer_texts(lines, reading, kind, mark, old))
    for name, row, start in sorted(taken, reverse=True):
        line = lines[name][row]
        lines[name][row] = line[:start] + new + line[start + len(old) :]
    return {name: "\n".join(rows) for name, rows in lines.items()}, taken


def _in_longer_texts(
    lines: dict[str, list[str]], reading: GuideRead, kind: str, mark: str, old: str
) -> Iterator[tuple[str, int, int]]:
    """Yield where an id stands within a text: in a link, in a ruling's name of a statement, in a sheet of cars seen."""
    guide = reading.guide
    assert guide is not None, "something of it was found"
    forms = guide.marks[mark if kind == "form" else old].forms if kind in ("form", "mark") else ()
    others = "|".join(map(re.escape, (*forms, *guide.periods, *guide.interiors)))
    ids = {"OLD": f"(?P<id>{re.escape(old)})", "WITH": f"(?:{others or '(?!)'})", "MARK": re.escape(mark)}

    def filled(patterns: Iterable[str]) -> list[re.Pattern[str]]:
        return [re.compile(re.sub("OLD|WITH|MARK", lambda found: ids[found[0]], one)) for one in patterns]

    linked, ruled, pasted, headed = (
        filled(each) for each in (KINDS[kind].links, *(of.get(kind, ()) for of in (_RULED, _PASTED, _HEADED)))
    )
    for name, rows in lines.items():
        seen = name.startswith("cars-seen/")
        for row, line in enumerate(rows):
            stretches = [(*link.span(1), linked) for link in _LINK.finditer(line)]
            stretches += [(said.end(), len(line), ruled) for said in _RULING.finditer(line)]
            stretches += [(0, len(line), pasted + (headed if row == 0 else []))] if seen else []
            for start, end, ways in stretches:
                for way in ways:
                    yield from ((name, row, match.start("id")) for match in way.finditer(line, start, end))


def _with_formerly(text: str, place: Place | None, new: str, old: str) -> str:
    """Return a file with the record's own id renamed where that stands in it (None: the file is the record), and with
    what it was called."""
    if place is None:
        first = re.search(r"^[\"'a-z]", text, re.MULTILINE)
        return _noted(text, first.start() if first else 0, len(text), "", new, old)
    start = sum(len(line) + 1 for line in text.split("\n")[: place.line - 1]) + place.column - 1
    named = re.compile(rf"([\"']?){re.escape(old)}\1(?=:)").match(text, start)
    assert named, "its id was read, so it stands there"
    text, end = text[:start] + new + text[named.end() :], start + len(new) + 1
    flow = re.compile(r"[ \n]*{").match(text, end)
    if flow:
        return _noted(text, flow.end(), _closed(text, flow.end()), None, new, old)
    below = re.compile(rf"(?:.*\n)(?:\s*\n|#.*\n)*?( {{{place.column},}})").match(text, end)
    child = below[1] if below else " " * (place.column + 1)
    body = re.compile(rf"(?:.*)(?:\n(?: {{{place.column},}}.*|[ \t]*(?:#.*)?(?=\n)))*").match(text, end)
    assert body, "it may be nothing"
    return _noted(text, text.index("\n", end) + 1 if "\n" in text[end:] else len(text), body.end(), child, new, old)


def _noted(text: str, start: int, end: int, child: str | None, new: str, old: str) -> str:
    """Return a text with an id of old among those of a record that goes from start to end, its keys set in as
    ``child`` is; None for one in braces."""
    head = rf"^{child}" if child is not None else r"(?<=[{,\s])"
    said = re.compile(rf"{head}formerly:[ ]*(\[[^\]]*\]|[^\s#,}}\]]+)", re.MULTILINE).search(text, start, end)
    if said:
        ids = [one for one in re.findall(r"[a-z0-9-]+", said[1]) if one not in (new, old)]
        return f"{text[: said.start(1)]}[{', '.join((*ids, old))}]{text[said.end(1) :]}"
    listed = re.compile(rf"{head}formerly:[ ]*(?:#.*)?\n(?P<inset> *- +)", re.MULTILINE).search(text, start, end)
    if listed:
        return f"{text[: listed.end()]}{old}\n{listed['inset']}{text[listed.end() :]}"
    if child is None:
        return f"{text[:start]}formerly: {old}, {text[start:]}"
    line = f"{child}formerly: {old}\n"
    return f"{text[:start]}{line}{text[start:]}" if start < len(text) else f"{text}\n{line}"


def _closed(text: str, start: int) -> int:
    """Return where the brace closes that was opened before a place."""
    depth = 1
    for sign in re.compile(r"\"[^\"]*\"|[{}]").finditer(text, start):
        depth += {"{": 1, "}": -1}.get(sign[0], 0)
        if depth == 0:
            return sign.start()
    return len(text)


def _moves(
    content: pathlib.Path, reading: GuideRead, kind: str, mark: str, old: str, new: str
) -> dict[pathlib.Path, pathlib.Path]:
    """Return the files that get another name: the record's own, and drawings found by a mark's name and a form's."""
    folder = content / KINDS[kind].stands
    moves = {folder / f"{old}.yml": folder / f"{new}.yml"} if KINDS[kind].has_file else {}
    if kind in ("mark", "form") and reading.guide is not None:
        owner = reading.guide.marks[old if kind == "mark" else mark]
        for form in owner.forms.values() if kind == "mark" else (owner.forms[old],):
            usual = f"{owner.id}-{form.id}"
            better = f"{new}-{form.id}" if kind == "mark" else f"{mark}-{new}"
            for path in sorted((content / "pictures").glob(f"{usual}.*")):
                if form.picture == path.name and not hasattr(form.picture, "place"):  # not named, but found by its name
                    moves[path] = path.with_name(better + path.suffix)
    return moves


def _with_pictures(files: _Files, moves: Mapping[pathlib.Path, pathlib.Path]) -> _Files:
    """Return the files with the new names of pictures that are named elsewhere too: in a text, on a plate."""
    for here, there in moves.items():
        if here.parent.name == "pictures":
            named = re.compile(rf"(?<![\w-]){re.escape(here.name)}(?![\w-])")
            files = {name: named.sub(there.name, text) for name, text in files.items()}
    return files


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
