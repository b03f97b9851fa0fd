"""Drawings: SVG files of plain shapes, put into the page itself so that they follow the page's light.

Only shapes and our classes pass. A style, an id, a script or a link in a drawing would either escape the
page's light or do what a picture should not, so it is left out and said.
"""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from guide.finding import Finding, Place
from guide.pages.shelf import Drawing

__all__ = ["CLASSES", "drawing_file", "inline_drawing", "read_drawing"]

CLASSES = ("context", "part", "detail", "fine", "corner", "face", "dark", "glint")
_SHAPES: dict[str, tuple[str, ...]] = {
    "g": (),
    "path": ("d",),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "line": ("x1", "y1", "x2", "y2"),
    "polyline": ("points",),
    "polygon": ("points",),
}
_EVERYWHERE = ("class", "transform")
_HATCHED = 'fill="url(#hatch)"'  # what print shows of what is dark
_SPACE = "{http://www.w3.org/2000/svg}"
_UNREADABLE = "press.picture-unreadable.drawing"  # for a reason that the system or the parser gives
_DEEPEST = 50  # elements one in another; a drawing program's groups need ten
_LARGEST = 40_000  # characters; a drawing of this guide's kind needs about two thousand


def read_drawing(path: Path, shown: str) -> tuple[Drawing | None, tuple[Finding, ...]]:
    """Return a drawing made ready, and what is wrong with it.

    ``shown`` is the file's name as findings give it. None when the file is no drawing at all.
    """
    try:
        return _made_ready(path.read_bytes().decode("utf-8-sig"), shown)
    except (OSError, UnicodeDecodeError) as error:
        return None, (Finding.of(_UNREADABLE, Place(shown), why=str(error)),)


@lru_cache(maxsize=5000)  # a preview reads the same drawings again at every save
def _made_ready(text: str, shown: str) -> tuple[Drawing | None, tuple[Finding, ...]]:
    place = Place(shown)
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        text = re.sub(r"<!DOCTYPE[^>\[]*>", "", text)
        if "<!" in re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL):
            return None, (Finding.of("press.picture-unreadable.entities", place),)
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        line, column = error.position
        return None, (Finding.of(_UNREADABLE, Place(shown, line, column + 1), why=str(error).split(":")[0]),)
    box = (root.get("viewBox") or "").replace(",", " ").split()
    if root.tag != f"{_SPACE}svg" or len(box) != 4:
        return None, (Finding.of("press.picture-unreadable.no-svg", place),)
    if _depth(root) > _DEEPEST:
        return None, (Finding.of("press.picture-unreadable.deep", place, most=_DEEPEST),)
    left_out: list[str] = []
    body = "".join(_shape(child, left_out) for child in root)
    findings = []
    if left_out:
        classes, strange = ", ".join(CLASSES), ", ".join(dict.fromkeys(left_out))
        findings.append(Finding.of("press.drawing-cleaned", place, classes=classes, left_out=strange))
    if len(body) > _LARGEST:
        findings.append(Finding.of("press.drawing-heavy", place, most=_LARGEST, found=len(body)))
    return Drawing(escape(" ".join(box)), body), tuple(findings)


def _depth(root: Element) -> int:
    """Return how far elements stand one in another, the first counted; one deeper than allowed is deep enough."""
    depth, row = 0, [root]
    while row and depth <= _DEEPEST:
        depth, row = depth + 1, [child for element in row for child in element]
    return depth


def inline_drawing(drawing: Drawing, label: str = "") -> str:
    """Return a drawing ready for a page: named by ``label`` for those who cannot see it, or hidden."""
    named = f'role="img" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
    return f'<svg class="drawing" {named} {drawing.markup}'


def drawing_file(drawing: Drawing) -> bytes:
    """Return a drawing as a file that is read as the same drawing, and holds nothing else."""
    return f'<svg xmlns="http://www.w3.org/2000/svg" {drawing.markup.replace(f" {_HATCHED}", "")}\n'.encode()


def _shape(element: Element, left_out: list[str]) -> str:
    tag = str(element.tag).removeprefix(_SPACE)
    if tag in ("title", "desc", "metadata"):
        return ""
    if tag not in _SHAPES:
        left_out.append(f"<{tag.split('}')[-1]}>")
        return ""
    kept = []
    for name, value in element.attrib.items():
        if name == "class":
            known = [word for word in value.split() if word in CLASSES]
            left_out.extend(f"class {word}" for word in value.split() if word not in CLASSES)
            if known:
                kept.append(f'class="{" ".join(known)}"')
            if "dark" in known:
                kept.append(_HATCHED)
        elif name in _EVERYWHERE or name in _SHAPES[tag]:
            kept.append(f'{name}="{escape(_numbers(value))}"')
        else:
            left_out.append(name.split("}")[-1])
    inside = "".join(_shape(child, left_out) for child in element)
    opening = " ".join([tag, *kept])
    return f"<{opening}>{inside}</{tag}>" if inside else f"<{opening}/>"


def _numbers(value: str) -> str:
    return re.sub(r"\s+", " ", value).strip()
