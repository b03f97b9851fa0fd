"""What browsers run: the guide's own scripts (guide/browser/) and a theme's (its scripts/), each asked for by name.

Each is published inside a function of its own, which is strict and is handed the one object that scripts share,
``guide``; what a script makes for others it makes a property of that. A folder is one script: its parts are joined, in
the order of their names, inside one function, so that they see each other's functions and need not hand them on.

A script says in its opening comment what has to run before it, and every page that asks for it gets that as well, in
the right order; what any part of a folder needs, the whole needs::

    // needs: say, numbers, data/model

A name is that of the file or folder without ``.js``; one that begins with ``data/`` is a data file of the site. ``//
runs: early`` marks a script that runs before the page is drawn, all others run once it is there; ``// runs: by itself``
one that no page asks for (the worker). What one visit needs together is fetched together: scripts that say ``// in:
NAME`` are published as one file of that name, in the order in which they need each other, and need no script outside.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from jinja2 import TemplateRuntimeError

from guide.finding import Finding, Place
from guide.press.theme import Theme
from guide.sentence import Sentence, sentence

__all__ = ["BROWSER", "DATA", "Script", "Scripts", "ThemeFault", "output_name"]

BROWSER = Path(__file__).resolve().parent.parent / "browser"
DATA = "data/"
_OPENING = re.compile(r"(?://.*\n)*")
_SAYS = re.compile(r"^// (needs|runs|in): (.*)$", re.MULTILINE)
_LINES_FOR_US = re.compile(
    r"^[ \t]*(?://.*\n?)?", re.MULTILINE
)  # comments and indents: a fifth of what a phone fetches
_HEAD, _FOOT = '(function (guide) {\n"use strict";\n\n', "}(globalThis.guide = globalThis.guide || {}));\n"


class ThemeFault(TemplateRuntimeError):
    """A template asks for what is not there; ``says`` is what, as a sentence."""

    def __init__(self, says: Sentence) -> None:
        super().__init__(says.id)
        self.says = says


@dataclass(frozen=True, slots=True)
class Script:
    """One script as it is published: its name, its text, what has to run before it, when it runs, and in which file."""

    name: str
    text: str
    needs: tuple[str, ...]
    early: bool
    file: str


class Scripts:
    """The scripts of a site; ``findings`` tells which of the theme's cannot be used."""

    def __init__(self, theme: Theme) -> None:
        own = {one.name: one for one in _scripts_in(BROWSER)}
        found: dict[str, Script] = {}
        taken: dict[Finding, None] = {}
        for layer in theme.layers:
            for one in _scripts_in(layer / "scripts"):
                if one.name in own:
                    place = Place(f"{layer.name}/scripts/{one.name}.js")
                    taken.setdefault(Finding.of("press.script-name-taken", place, name=one.name))
                found.setdefault(one.name, one)
        self.findings = tuple(taken)
        self._scripts = found | own

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all scripts."""
        return tuple(self._scripts)

    def files(self) -> dict[str, bytes]:
        """Return the scripts by output name, those of one file joined."""
        found = dict[str, list[str]]()
        for name in self._scripts:
            found.setdefault(self.file_of(name), []).append(name)
        return {file: self._joined(names) for file, names in found.items()}

    def _joined(self, names: list[str]) -> bytes:
        ordered = [name for name in self.in_order(names) if name in names] if len(names) > 1 else names
        return "".join(map(self.text, ordered)).encode()

    def file_of(self, name: str) -> str:
        """Return the output name of the file in which a script, or a data file, stands."""
        return output_name(name if name.startswith(DATA) else self._script(name).file)

    def text(self, name: str) -> str:
        """Return the text of a script. Raises ThemeFault where there is none of that name."""
        return self._script(name).text

    def is_early(self, name: str) -> bool:
        """Tell whether a script runs before the page is drawn."""
        return not name.startswith(DATA) and self._script(name).early

    def in_order(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return some scripts with all that they need, each once and after what it needs.

        Raises ThemeFault where one is not there, or needs itself.
        """
        found: dict[str, None] = {}
        for name in names:
            self._add(name, found, ())
        return tuple(found)

    def _add(self, name: str, found: dict[str, None], above: tuple[str, ...]) -> None:
        if name in above:
            raise ThemeFault(sentence("press.theme.script-needs-itself", name=name))
        if name in found:
            return
        if not name.startswith(DATA):
            for needed in self._script(name).needs:
                self._add(needed, found, (*above, name))
        found[name] = None

    def _script(self, name: str) -> Script:
        if name not in self._scripts:
            raise ThemeFault(sentence("press.theme.no-script", name=name))
        return self._scripts[name]


def output_name(name: str) -> str:
    """Return the output name of a script or a data file."""
    return f"{name}.js" if name.startswith(DATA) else f"scripts/{name}.js"


def _scripts_in(folder: Path) -> Iterator[Script]:
    for path in sorted(folder.glob("*")):
        files = sorted(path.glob("*.js")) if path.is_dir() else [path]
        parts = [_read(file) for file in files if file.suffix == ".js"]
        said = [row for part in parts for row in _SAYS.findall(_opening(part))]
        if parts and ("runs", "by itself") not in said:
            needs = [one.strip() for key, value in said if key == "needs" for one in value.split(",")]
            text = _LINES_FOR_US.sub("", "\n".join(parts))
            early, file = ("runs", "early") in said, dict(said).get("in", path.stem)
            yield Script(path.stem, f"{_HEAD}{text}{_FOOT}", tuple(dict.fromkeys(needs)), early, file)


def _read(path: Path) -> str:
    return path.read_bytes().decode("utf-8").replace("\r\n", "\n")


def _opening(text: str) -> str:
    found = _OPENING.match(text)
    return found[0] if found else ""
