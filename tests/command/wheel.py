"""Try the guide in environments of their own, with the lowest and the newest packages that it allows: ``python -m
tests.command.wheel --lowest`` or ``--newest``, with ``--python PROGRAM`` for another Python than this one, and
``--tests`` to run the fast tests there besides.

The packages are fetched by pip; the guide begun by `start` is made there and here, and has to be the same in every byte
but those of pictures that another release of the picture library packs otherwise, and what carries their digests.
"""

from __future__ import annotations

import argparse
import pathlib
import re
import subprocess
import sys
import tempfile
import tomllib
from typing import Any

from guide.press.offline import mark_of, unmarked

__all__ = ["lowest", "main"]

_OF_PICTURES = re.compile(r"icons/.*[.]png|pictures/.*|worker[.]js|edition[.]json|guide[.]zip")

ROOT = pathlib.Path(__file__).resolve().parents[2]


def lowest() -> list[str]:
    """Return each package at run time pinned to the lowest version that is allowed."""
    return [re.sub(">=", "==", one) for one in _stated()["dependencies"]]


# Tests that need no browser and no site of the demo: they read, reckon, check and say.
FAST = [f"tests/{name}" for name in ("facts", "limits", "dating", "checks", "words")]


def _stated() -> dict[str, Any]:
    stated: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return stated


def _made(python: pathlib.Path | str, folder: pathlib.Path) -> dict[str, bytes]:
    """Return the starter's site, as a Python with its packages makes it."""
    made = "from guide.command.main import main; import sys; sys.exit(main(sys.argv[1:]))"
    for words in (["start", "facts", "--language", "en"], ["--content", "facts", "--out", "site"]):
        subprocess.run(
            [python, "-X", "utf8", "-c", made, *words], cwd=folder, env={"PYTHONPATH": str(ROOT)}, check=True
        )
    site = folder / "site"
    files = {path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()}
    mark = mark_of(files)
    return {name: unmarked(name, data, mark) for name, data in files.items() if name != ".running-change"}


def main(arguments: list[str]) -> int:
    """Try one set of packages; return 0 where the site is the one made here."""
    parser = argparse.ArgumentParser(description=__doc__)
    which = parser.add_mutually_exclusive_group(required=True)
    which.add_argument("--lowest", action="store_true")
    which.add_argument("--newest", action="store_true")
    parser.add_argument("--python", default=sys.executable)
    parser.add_argument("--tests", action="store_true")
    asked = parser.parse_args(arguments)
    packages = lowest() if asked.lowest else [one.split("==")[0] for one in lowest()]
    with tempfile.TemporaryDirectory() as aside:
        there, here = pathlib.Path(aside, "there"), pathlib.Path(aside, "here")
        there.mkdir()
        here.mkdir()
        environment = there / "env"
        subprocess.run([asked.python, "-m", "venv", environment], check=True)
        python = environment / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
        subprocess.run([str(python), "-m", "pip", "install", "-q", *packages], check=True)
        listed = [str(python), "-m", "pip", "list", "--format", "freeze"]
        print(subprocess.run(listed, capture_output=True, text=True, check=True).stdout)
        one, other = _made(python, there), _made(sys.executable, here)
        told = 0
        if asked.tests:
            extra = [*packages, *_stated()["optional-dependencies"]["tests"]]
            subprocess.run([str(python), "-m", "pip", "install", "-q", *extra], check=True)
            fast = [str(python), "-m", "pytest", "-q", "-n", "2", "-m", "not browser and not proof", *FAST]
            told = subprocess.run(fast, cwd=ROOT, check=False).returncode
    differ = sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
    drawn = [name for name in differ if _OF_PICTURES.fullmatch(name)]
    print(f"{len(one)} files; other than here: {', '.join(differ) or 'none'}")
    return told if differ == drawn else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
