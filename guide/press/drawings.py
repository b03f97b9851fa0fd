"""Drawings: SVG files of plain shapes, put into the page itself so that they follow the page's light.

Only shapes and our classes pass. A style, an id, a script or a link in a drawing would either escape the
page's light or do what a picture should not, so it is left out and said.
"""

from __future__ import annotations

import re
from html import escape
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from guide.finding import Finding, Place

__all__ = ["CLASSES", "inline_drawing", "read_drawing"]

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
_SPACE = "{http://www.w3.org/2000/svg}"
_LARGEST = 40_000  # characters; a drawing of this guide's kind needs about two thousand


def read_drawing(path: Path, shown: str) -> tuple[str | None, tuple[Finding, ...]]:
    """Return a drawing's markup without its label, and what is wrong with it.

    ``shown`` is the file's name as findings give it. None when the file is no drawing at all.
    """
    place = Place(shown)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        return None, (_unreadable(place, str(error)),)
    if "<!DOCTYPE" in text or "<!ENTITY" in text:
        text = re.sub(r"<!DOCTYPE[^>\[]*>", "", text)
        if "<!" in re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL):
            return None, (_unreadable(place, "it declares entities of its own"),)
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        line, column = error.position
        return None, (_unreadable(Place(shown, line, column + 1), str(error).split(":")[0]),)
    box = (root.get("viewBox") or "").replace(",", " ").split()
    if root.tag != f"{_SPACE}svg" or len(box) != 4:
        return None, (_unreadable(place, "it is not an SVG drawing with a viewBox"),)
    left_out: list[str] = []
    body = "".join(_shape(child, left_out) for child in root)
    findings = []
    if left_out:
        findings.append(
            Finding(
                "drawing-cleaned",
                place,
                f"expected plain shapes with the classes {', '.join(CLASSES)}, "
                f"found and left out: {', '.join(dict.fromkeys(left_out))}",
                "draw with path, circle, ellipse, rect, line, polyline or polygon and those classes only",
            )
        )
    if len(body) > _LARGEST:
        findings.append(
            Finding(
                "drawing-heavy",
                place,
                f"expected a drawing of at most {_LARGEST} characters, found {len(body)}",
                "leave out what does not help to tell the forms apart",
            )
        )
    return f'viewBox="{escape(" ".join(box))}">{body}</svg>', tuple(findings)


def inline_drawing(drawing: str, label: str = "") -> str:
    """Return a drawing ready for a page: named by ``label`` for those who cannot see it, or hidden."""
    named = f'role="img" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
    return f'<svg class="drawing" {named} focusable="false" {drawing}'


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
                kept.append('fill="url(#hatch)"')
        elif name in _EVERYWHERE or name in _SHAPES[tag]:
            kept.append(f'{name}="{escape(_numbers(value))}"')
        else:
            left_out.append(name.split("}")[-1])
    inside = "".join(_shape(child, left_out) for child in element)
    opening = " ".join([tag, *kept])
    return f"<{opening}>{inside}</{tag}>" if inside else f"<{opening}/>"


def _numbers(value: str) -> str:
    return re.sub(r"\s+", " ", value).strip()


def _unreadable(place: Place, why: str) -> Finding:
    return Finding(
        "picture-unreadable",
        place,
        f"expected a drawing, found a file that cannot be used: {why}",
        "save it again as a plain SVG",
    )
