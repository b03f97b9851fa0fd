"""`build.py start FOLDER`: a small new guide that builds at once, with a page on how to edit it."""

from __future__ import annotations

import os
import pathlib
import re
import shutil
import sys
from dataclasses import replace

from guide.command.calls import Call, CallIsOff, words_of
from guide.command.documents import handbook
from guide.command.from_table import files_from
from guide.facts.records.schema import modeline
from guide.words.say import Words, load_words

__all__ = ["run"]

STARTER = pathlib.Path(__file__).parent / "starter"
_DOOR = pathlib.Path(__file__).resolve().parent.parent.parent / "build.py"  # in a tree; an installed copy has none

# Windows runs this when it is double-clicked; %~dp0 is the folder it lies in. Ways to the program are told from there,
# so that a shared folder serves a second machine too; one that has another Python takes the one it has.
_PREVIEW = """\
@echo off
rem Shows the guide in a browser, anew at every save. Close this window to stop.
chcp 65001 >nul
set "python=%~dp0{python}"
if not exist "%python%" set "python={here}"
if not exist "%python%" set "python=py"
"%python%" {program} preview --content "%~dp0." --out "%~dp0..\\{out}"
pause
"""
_WINDOWS_FILE, _PAGE = "Preview this guide.cmd", "HOW-TO-EDIT.md"


_INSTALLED = "-m guide"  # how Python is told to run the program where it is installed


def _quoted(path: pathlib.Path) -> str:
    text = str(path)
    return f'"{text}"' if " " in text else text


def _out(folder: pathlib.Path) -> pathlib.Path:
    """Return where the lines put the guide: beside the folder it is made from."""
    return folder.resolve().with_name(folder.resolve().name + "-out")


def _from(folder: pathlib.Path, path: pathlib.Path) -> pathlib.Path:
    """Return the way from a folder to a file; on another disk of Windows, where there is none, the file's own path."""
    try:
        return pathlib.Path(os.path.relpath(path, folder.resolve()))
    except ValueError:
        return path


def _line(folder: pathlib.Path) -> str:
    """Return the line to type that shows this folder, on this machine, from wherever one stands."""
    call = f"{_quoted(pathlib.Path(sys.executable))} {_quoted(_DOOR) if _DOOR.is_file() else _INSTALLED}"
    return f"{call} preview --content {_quoted(folder.resolve())} --out {_quoted(_out(folder))}"


def _lines(folder: pathlib.Path) -> dict[str, str]:
    """Return the lines to type within the folder, on any machine that has the program where this one has it."""
    door = _quoted(pathlib.Path(_from(folder, _DOOR).as_posix())) if _DOOR.is_file() else _INSTALLED
    out = _quoted(pathlib.Path(f"../{_out(folder).name}"))
    python, usual = pathlib.Path(sys.executable), "py" if os.name == "nt" else "python3"
    beside = _DOOR.is_file() and _DOOR.parent in python.parents  # of an environment of the program's own
    call = f"{_quoted(pathlib.Path(_from(folder, python).as_posix())) if beside else usual} {door}"
    return {
        "out": _out(folder).name,
        "preview": f"{call} preview --content . --out {out}",
        "make": f"{call} --content . --out {out}",
    }


def run(call: Call) -> int:
    """Write a new guide, or renew what stands beside the facts of one that is there; return the exit status."""
    if call.options.again:
        beside = {"--language": call.language, "--from": call.options.begun_from}
        for option, said in beside.items():
            if said:
                raise CallIsOff.of("call.not-beside", option=option, other="--again")
        return _again(replace(call, words=words_of(call.options.folder)))
    return _begin(replace(call, words=load_words(call.language)) if call.language else call)


def _begin(call: Call) -> int:
    """Write the new guide in the language of the call's words, its marks from a table where one is given.

    What no starter of that language has comes from the English one: drawings, and whatever nobody has put into it yet.
    Raises CallIsOff for a folder that holds anything or cannot be made, and for a table that cannot be read.
    """
    folder, begun_from, words = call.options.folder, call.options.begun_from, call.words
    language = words.language.partition("-")[0]
    own = STARTER.with_name(f"starter_{language}")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CallIsOff.of("start.not-empty", folder=str(folder))
    files, found = (None, ()) if begun_from is None else files_from(begun_from, words)
    try:
        for starter in (STARTER, own) if own.is_dir() else (STARTER,):
            shutil.copytree(starter, folder, dirs_exist_ok=True)
    except OSError as error:
        raise CallIsOff.of("start.cannot-write", folder=str(folder), why=error.strerror or str(error)) from None
    if language != "en" and not own.is_dir():
        guide = folder / "guide.yml"
        said = re.sub(r"(?m)^(language:) .*", rf"\1 {words.language}", guide.read_text(encoding="utf-8"))
        guide.write_text(said, encoding="utf-8", newline="\n")
    if files is not None:
        for old in (*(folder / "marks").iterdir(), *(folder / "pictures").iterdir()):
            old.unlink()
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
    for path in sorted(folder.rglob("*.yml")):
        line = modeline(path.relative_to(folder).as_posix())
        if line:
            path.write_text(f"{line}\n{path.read_text(encoding='utf-8')}", encoding="utf-8", newline="\n")
    page = folder / _PAGE
    text = page.read_text(encoding="utf-8")
    page.write_text(text.format_map(_OnlyKnown(_lines(folder))), encoding="utf-8", newline="\n")
    _put_beside(folder, words)
    if not call.as_json:
        call.print_findings(found)
    return _said("begun", call)


def _again(call: Call) -> int:
    """Renew what stands beside a guide's facts (handbook, schemas, the Windows file) and nothing else.

    Raises CallIsOff for a folder without a guide, or that cannot be written to.
    """
    folder = call.options.folder
    if not (folder / "guide.yml").is_file():
        raise CallIsOff.of("start.no-guide", folder=str(folder))
    try:
        _put_beside(folder, call.words)
    except OSError as error:
        raise CallIsOff.of("start.cannot-write", folder=str(folder), why=error.strerror or str(error)) from None
    return _said("again", call)


def _put_beside(folder: pathlib.Path, words: Words) -> None:
    for name, said in handbook(words).items():
        path = folder / "handbook" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(said, encoding="utf-8", newline="\n")
    called = f'"%~dp0{_from(folder, _DOOR)}"' if _DOOR.is_file() else _INSTALLED
    python = _from(folder, pathlib.Path(sys.executable))
    given = (("python", str(python)), ("here", sys.executable), ("out", _out(folder).name))
    safe = {name: text.replace("%", "%%") for name, text in given}  # there % begins a variable
    program = called.replace("%", "%%").replace("%%~dp0", "%~dp0")
    windows = _PREVIEW.format_map({**safe, "program": program})
    (folder / _WINDOWS_FILE).write_text(windows.replace("/", "\\"), encoding="utf-8", newline="\r\n")


def _said(way: str, call: Call) -> int:
    folder = call.options.folder
    if call.as_json:
        call.print_json({"folder": folder.as_posix()})
    else:
        call.say(f"command.start.{way}", folder=str(folder), line=_line(folder))
    return 0


class _OnlyKnown(dict[str, str]):
    """Leaves braces alone that are not ours, so that YAML in the page keeps its own."""

    def __missing__(self, key: str) -> str:
        return "{" + key + "}"
