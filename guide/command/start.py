"""`build.py start FOLDER`: a small new guide that builds at once, with a page on how to edit it."""

from __future__ import annotations

import json
import pathlib
import re
import shutil
import sys
from typing import TextIO

from guide.command.calls import CallIsOff
from guide.command.documents import handbook
from guide.words.say import Words

__all__ = ["run"]

STARTER = pathlib.Path(__file__).parent / "starter"
_DOOR = pathlib.Path(__file__).resolve().parent.parent.parent / "build.py"  # in a tree; an installed copy has none

# Windows runs this when it is double-clicked; %~dp0 is the folder it lies in.
_PREVIEW = """\
@echo off
rem Shows the guide in a browser, anew at every save. Close this window to stop.
chcp 65001 >nul
"{python}" {program} preview --content "%~dp0." --out "%~dp0..\\{out}"
pause
"""


_INSTALLED = "-m guide"  # how Python is told to run the program where it is installed


def _quoted(path: pathlib.Path) -> str:
    text = str(path)
    return f'"{text}"' if " " in text else text


def _out(folder: pathlib.Path) -> pathlib.Path:
    """Return where the lines put the guide: beside the folder it is made from."""
    return folder.resolve().with_name(folder.resolve().name + "-out")


def _lines(folder: pathlib.Path) -> dict[str, str]:
    """Return the lines to type for this folder, on this machine."""
    call = f"{_quoted(pathlib.Path(sys.executable))} {_quoted(_DOOR) if _DOOR.is_file() else _INSTALLED}"
    where = _quoted(folder.resolve())
    out = _quoted(_out(folder))
    return {
        "out": _out(folder).name,
        "preview": f"{call} preview --content {where} --out {out}",
        "make": f"{call} --content {where} --out {out}",
    }


def run(folder: pathlib.Path, words: Words, out: TextIO, *, as_json: bool) -> int:
    """Write the new guide in the language of ``words``; return the exit status.

    What no starter of that language has comes from the English one: drawings, and whatever nobody has put into it yet.
    Raises CallIsOff for a folder that holds anything or cannot be made.
    """
    language = words.language.partition("-")[0]
    own = STARTER.with_name(f"starter_{language}")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CallIsOff.of("start.not-empty", folder=str(folder))
    try:
        for starter in (STARTER, own) if own.is_dir() else (STARTER,):
            shutil.copytree(starter, folder, dirs_exist_ok=True)
    except OSError as error:
        raise CallIsOff.of("start.cannot-write", folder=str(folder), why=error.strerror or str(error)) from None
    if language != "en" and not own.is_dir():
        guide = folder / "guide.yml"
        said = re.sub(r"(?m)^(language:) .*", rf"\1 {words.language}", guide.read_text(encoding="utf-8"))
        guide.write_text(said, encoding="utf-8", newline="\n")
    lines = _lines(folder)
    page = folder / "HOW-TO-EDIT.md"
    text = page.read_text(encoding="utf-8")
    page.write_text(text.format_map(_OnlyKnown(lines)), encoding="utf-8", newline="\n")
    (folder / "handbook").mkdir()
    for name, said in handbook(words).items():
        (folder / "handbook" / name).parent.mkdir(exist_ok=True)
        (folder / "handbook" / name).write_text(said, encoding="utf-8", newline="\n")
    called = f'"{_DOOR}"' if _DOOR.is_file() else _INSTALLED
    given = (("program", called), ("python", sys.executable), ("out", _out(folder).name))
    preview = _PREVIEW.format_map({name: text.replace("%", "%%") for name, text in given})  # there % begins a variable
    (folder / "Preview this guide.cmd").write_text(preview, encoding="utf-8", newline="\r\n")
    if as_json:
        print(json.dumps({"format": 1, "folder": folder.as_posix()}), file=out)
    else:
        print(words.say("command.start.begun", folder=str(folder), line=lines["preview"]), file=out)
    return 0


class _OnlyKnown(dict[str, str]):
    """Leaves braces alone that are not ours, so that YAML in the page keeps its own."""

    def __missing__(self, key: str) -> str:
        return "{" + key + "}"
