#!/usr/bin/env python3
"""Make a guide: `python build.py`. `python build.py --help` says what else there is.

What it says itself is English and stands here: it is said when the package, and so its words, cannot be read yet.
"""

from __future__ import annotations

import importlib.util
import os
import sys

NEEDED = {"jinja2": "jinja2", "markdown": "markdown", "yaml": "pyyaml", "livereload": "livereload", "PIL": "pillow"}


def missing_packages() -> list[str]:
    """Return the names, as pip knows them, of the packages that are not installed."""
    return [package for module, package in NEEDED.items() if importlib.util.find_spec(module) is None]


def install_line(system: str) -> str:
    """Return the one line that sets the project up on this system (``os.name``)."""
    if system == "nt":
        return r"py -m venv .venv; .venv\Scripts\pip install -e .; .venv\Scripts\python build.py"
    return "python3 -m venv .venv && .venv/bin/pip install -e . && .venv/bin/python build.py"


def run(arguments: list[str]) -> int:
    """Run the command line; say what to type when a package or a newer Python is missing."""
    if sys.version_info < (3, 11):  # noqa: UP036 - run before anything could check it
        print(f"Running Change needs Python 3.11 or newer; this is {sys.version.split()[0]}.", file=sys.stderr)
        return 2
    missing = missing_packages()
    if missing:
        print(
            f"Not installed yet: {', '.join(missing)}. Type this line, here:\n\n    {install_line(os.name)}\n",
            file=sys.stderr,
        )
        return 2
    from guide.command.main import main

    return main(arguments)


if __name__ == "__main__":
    try:
        status = run(sys.argv[1:])
    except KeyboardInterrupt:  # Ctrl-C before there was anything that could say so
        status = 130
    package = sys.modules.get("guide.command.main")  # not there where something is missing
    (sys.exit if package is None else package.leave)(status)
