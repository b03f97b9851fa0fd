"""A theme: folders that lie one upon another, each holding only what differs from those beneath.

The lowest is ``plain``, which holds everything. Upon it lies the theme that a call names with ``--theme``; upon that,
where a guide has one, the folder ``theme/`` among its own facts. ``theme.yml`` in a folder names what that one lies
upon, ``inherits: field``; without the line it lies upon ``plain``, with ``inherits: nothing`` upon none. What lies on
what:

* a template (``pages/``) and a script (``scripts/``) take the place of the one of their name beneath; a template that
  extends its own name extends the one beneath, so that one block of it can be changed alone;
* a style sheet (``style/``) is added after the one of its name beneath, so that a sheet of a few properties is enough;
  its comments and indents stay at home, being a fifth of what a phone fetches;
* a picture (``logo.svg``, ``icon.png``, ``sharing.jpg``...) takes the place of the one beneath.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from guide.finding import Finding, Place

__all__ = ["MANIFEST", "OF_GUIDE", "THEMES", "Theme", "open_theme", "themes_known"]

_PACKAGE = Path(__file__).resolve().parent.parent
_INSTALLED = _PACKAGE / "themes"  # where a wheel puts what stands at the top of a tree
THEMES = _INSTALLED if _INSTALLED.is_dir() else _PACKAGE.parent / "themes"
MANIFEST = "theme.yml"
OF_GUIDE = "theme"  # the folder in a guide's own facts
_PARTS = ("pages", "style", "scripts")
_LOWEST, _NOTHING = "plain", "nothing"
_HELD = rb"\"(?:\\.|[^\"\\])*\"|'(?:\\.|[^'\\])*'|url\([^\"'()]*\)"  # what looks like a comment in a text is none
_FOR_US = re.compile(rb"(%s)|^[ \t]*/\*.*?\*/[ \t]*\n+|/\*.*?\*/|^[ \t]+" % _HELD, re.DOTALL | re.MULTILINE)
_LINE = re.compile(r"\s*([\w ]+?)\s*:\s*(?:\"([^\"]*)\"|'([^']*)'|([^#]*?))\s*(?:#.*)?")


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme's folders, the uppermost first; ``findings`` tells what in them cannot be used."""

    layers: tuple[Path, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def name(self) -> str:
        """What findings call it: the name of its uppermost folder."""
        return self.layers[0].name

    def path(self, name: str) -> Path | None:
        """Return the file of a name (with ``/``), from the uppermost folder that has it."""
        return next((layer / name for layer in self.layers if (layer / name).is_file()), None)

    def shown(self, path: Path) -> str:
        """Return a file of the theme as findings name it: ``plain/pages/mark.html``."""
        found = next((layer for layer in self.layers if layer in path.parents), path.parent)
        return f"{found.name}/{path.relative_to(found).as_posix()}"

    def styles(self) -> dict[str, bytes]:
        """Return the style sheets by output name, those of one name joined, the lowest first."""
        parts: dict[str, list[bytes]] = {}
        for layer in reversed(self.layers):
            for path in sorted((layer / "style").glob("*.css")):
                parts.setdefault(f"style/{path.name}", []).append(_for_all(path.read_bytes().replace(b"\r\n", b"\n")))
        return {name: b"\n".join(each) for name, each in sorted(parts.items())}

    def templates(self) -> Iterator[tuple[str, Path]]:
        """Yield every template in every folder: its name, and the file."""
        for layer in self.layers:
            yield from ((path.name, path) for path in sorted((layer / "pages").glob("*.html")))


def _for_all(sheet: bytes) -> bytes:
    """Return a style sheet without comments and indents; a comment within a line leaves a space, for it parts words."""
    return _FOR_US.sub(lambda found: found[1] or (b" " if found[0].endswith(b"/") else b""), sheet)


def themes_known() -> list[str]:
    """Return the themes that a call may name."""
    return sorted(path.name for path in THEMES.iterdir() if any((path / one).is_dir() for one in _PARTS))


def open_theme(named: str = "", content: Path | None = None) -> Theme:
    """Return the theme that a guide is laid out with: its own folder, and what that or the call names beneath it.

    A manifest that cannot be used is a finding, and counts as one that says nothing.
    """
    findings: list[Finding] = []
    layers: list[Path] = []
    upon = named or _LOWEST
    own = None if content is None else content / OF_GUIDE
    if own is not None and own.is_dir():
        layers.append(own)
        upon = named or _inherits(own, findings)
    while upon != _NOTHING:
        if THEMES / upon in layers:
            findings.append(Finding.of("press.theme-manifest.circle", Place(f"{upon}/{MANIFEST}"), theme=upon))
            upon = _LOWEST
        layers.append(THEMES / upon)
        upon = _NOTHING if upon == _LOWEST else _inherits(THEMES / upon, findings)
    findings += (one for layer in layers for one in _leading_out(layer))
    return Theme(tuple(layers), tuple(findings))


def _leading_out(layer: Path) -> Iterator[Finding]:
    """Yield a finding for everything in a folder that stands elsewhere: a link would publish a file of the editor's."""
    top = layer.resolve()
    for path in sorted(layer.rglob("*")):
        if not path.resolve().is_relative_to(top):
            yield Finding.of("press.theme-broken.link", Place(f"{layer.name}/{path.relative_to(layer).as_posix()}"))


def _inherits(layer: Path, findings: list[Finding]) -> str:
    """Return what a folder lies upon."""
    try:
        text = (layer / MANIFEST).read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return _LOWEST
    except (OSError, UnicodeDecodeError) as error:
        why = str(getattr(error, "strerror", "") or error)
        findings.append(Finding.of("press.theme-manifest.unread", Place(f"{layer.name}/{MANIFEST}"), why=why))
        return _LOWEST
    found = _LOWEST
    for number, line in enumerate(text.splitlines(), 1):
        place, read = Place(f"{layer.name}/{MANIFEST}", number), _LINE.fullmatch(line)
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if read is None or read[1] != "inherits":
            findings.append(Finding.of("press.theme-manifest", place, line=line.strip()))
            continue
        found = read[2] or read[3] or read[4] or ""
        known = [*(name for name in themes_known() if name != layer.name), _NOTHING]
        if found not in known:
            names = ", ".join(known)
            findings.append(Finding.of("press.theme-manifest.unknown", place, theme=found, known=names))
            found = _LOWEST
    return found
