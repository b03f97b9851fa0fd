"""The command line: what may be typed, and what each word does.

Exit status: 0 good, 1 errors found, 2 the call itself is off.
"""

from __future__ import annotations

import argparse
import json
import os
import pathlib
import sys
from collections.abc import Sequence

from guide.command import ask, check, make, start
from guide.command.calls import CallIsOff, Parser

__all__ = ["main"]

GOOD, ERRORS, CALL_IS_OFF = 0, 1, 2
_TOP = pathlib.Path(__file__).resolve().parent.parent.parent

_ABOUT = """\
Makes a field guide from the facts in a content folder: reads them, checks them against one another, and
writes the guide to a folder that opens from disk. With no word after it, it does just that.
"""

_AFTER = """\
examples:
  python build.py                       read, check, and write the guide to out/
  python build.py check                 only say what there is to put right
  python build.py preview               show the guide, and show it anew at every save
  python build.py ask                   date a car here in the terminal
  python build.py start my-guide        begin a guide of your own in the folder my-guide
"""


def _common(parser: argparse.ArgumentParser, *, first: bool) -> None:
    """Add the options that every word takes; after a word they keep what was said before it."""
    nothing = None if first else argparse.SUPPRESS
    parser.add_argument(
        "--content",
        metavar="FOLDER",
        type=pathlib.Path,
        default=pathlib.Path("content") if first else nothing,
        help="the folder with the facts (otherwise: content)",
    )
    parser.add_argument(
        "--out",
        metavar="FOLDER",
        type=pathlib.Path,
        default=pathlib.Path("out") if first else nothing,
        help="where the guide goes (otherwise: out)",
    )
    parser.add_argument(
        "--theme",
        metavar="NAME",
        default="plain" if first else nothing,
        help="the look: a folder in themes/ (otherwise: plain)",
    )
    parser.add_argument(
        "--json",
        action="store_true",
        default=False if first else nothing,
        help="print one JSON value instead of sentences",
    )
    parser.add_argument(
        "--stop-on",
        choices=["errors", "warnings"],
        default="errors" if first else nothing,
        help="what keeps a guide from being written (otherwise: errors)",
    )


def _parser() -> argparse.ArgumentParser:
    parser = Parser(
        prog="python build.py", description=_ABOUT, epilog=_AFTER, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    _common(parser, first=True)
    words = parser.add_subparsers(
        dest="word", metavar="WORD", parser_class=Parser, title="words (leave out to make the guide)"
    )
    for name, says in (
        ("check", "only say what there is to put right"),
        ("preview", "show the guide in a browser, anew at every save"),
    ):
        _common(words.add_parser(name, help=says, description=says.capitalize() + "."), first=False)
    words.choices["preview"].add_argument(
        "--port",
        type=int,
        default=5500,
        metavar="NUMBER",
        help="the number that the browser finds it under (otherwise: 5500)",
    )
    words.choices["preview"].add_argument("--no-browser", action="store_true", help="do not open a browser")
    asked = words.add_parser(
        "ask",
        help="date a car in the terminal",
        description=ask.ABOUT,
        epilog=ask.AFTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    _common(asked, first=False)
    ask.add_arguments(asked)
    asked._positionals.title = "answers (leave out to be asked)"
    begun = words.add_parser(
        "start",
        help="begin a guide of your own in a new folder",
        description="Begin a small guide that builds at once, with a page on how to edit it.",
    )
    begun._positionals.title = "what to name it"
    begun.add_argument("folder", type=pathlib.Path, metavar="FOLDER", help="a folder that does not exist yet")
    _common(begun, first=False)
    return parser


def _run(options: argparse.Namespace) -> int:
    themes = _TOP / "themes"
    theme = themes / options.theme
    if options.word == "start":
        return start.run(options.folder, sys.stdout, as_json=options.json)
    if not options.content.is_dir():
        raise CallIsOff(
            f"There is no content folder at '{options.content}'. Say where it is with --content FOLDER, "
            "or begin one with 'python build.py start FOLDER'."
        )
    if not (theme / "pages").is_dir():
        known = ", ".join(sorted(path.name for path in themes.iterdir() if (path / "pages").is_dir()))
        raise CallIsOff(f"There is no theme called '{options.theme}'. There are these: {known}.")
    if options.word == "check":
        return check.run(options.content, theme, sys.stdout, as_json=options.json, stop_on=options.stop_on)
    if options.word == "ask":
        return ask.run(options, sys.stdin, sys.stdout)
    if options.word == "preview":
        return make.preview(options.content, options.out, theme, port=options.port, open_browser=not options.no_browser)
    return make.run(options.content, options.out, theme, sys.stdout, as_json=options.json, stop_on=options.stop_on)


def main(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        status = _run(_parser().parse_args(list(arguments)))
        sys.stdout.flush()
        return status
    except (CallIsOff, ask.CannotAsk) as off:
        if "--json" in arguments:
            print(json.dumps({"format": 1, "error": str(off)}, ensure_ascii=False))
        else:
            print(off, file=sys.stderr)
        return CALL_IS_OFF
    except BrokenPipeError:  # whoever read along has read enough, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return GOOD
    except KeyboardInterrupt:
        print(file=sys.stderr)
        return GOOD
