"""Drawings: plain shapes and our classes, nothing else."""

from __future__ import annotations

import pathlib

import pytest

from guide.pages.shelf import Drawing
from guide.press.drawings import inline_drawing, read_drawing
from tests.told import ENGLISH

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 160">'


def read(tmp_path: pathlib.Path, text: str) -> tuple[Drawing | None, list[str]]:
    path = tmp_path / "a.svg"
    path.write_text(text, encoding="utf-8")
    drawing, findings = read_drawing(path, "pictures/a.svg")
    return drawing, [finding.line(ENGLISH) for finding in findings]


def test_a_plain_drawing_goes_into_the_page_as_it_is(tmp_path: pathlib.Path) -> None:
    drawing, findings = read(tmp_path, f'{HEAD}\n<path class="detail dark" d="M0 0\n H9"/>\n</svg>')
    assert findings == []
    assert drawing == Drawing("0 0 240 160", '<path class="detail dark" fill="url(#hatch)" d="M0 0 H9"/>')
    assert inline_drawing(drawing, 'A "bright" badge').startswith(
        '<svg class="drawing" role="img" aria-label="A &quot;bright&quot; badge" viewBox'
    )
    assert 'aria-hidden="true"' in inline_drawing(drawing)


@pytest.mark.parametrize(
    ("inside", "left_out"),
    [
        ("<script>a()</script>", "<script>"),
        ('<path onclick="a()" d="M0 0"/>', "onclick"),
        ('<a href="javascript:a()"><path d="M0 0"/></a>', "<a>"),
        ('<path style="fill:red" d="M0 0"/>', "style"),
        ('<path id="x" d="M0 0"/>', "id"),
        ('<path class="bright" d="M0 0"/>', "class bright"),
        ('<image href="http://example.org/x.png"/>', "<image>"),
        ("<foreignObject><p xmlns='http://www.w3.org/1999/xhtml'>x</p></foreignObject>", "<foreignObject>"),
    ],
)
def test_what_is_no_plain_shape_is_left_out_and_said(tmp_path: pathlib.Path, inside: str, left_out: str) -> None:
    drawing, findings = read(tmp_path, f"{HEAD}{inside}</svg>")
    assert drawing is not None
    for trace in ("script", "onclick", "href", "style", "id=", "bright", "http"):
        assert trace not in drawing.markup
    assert len(findings) == 1
    assert findings[0].endswith(f"found and left out: {left_out}")


@pytest.mark.parametrize(
    "text",
    [
        "not xml",
        f"{HEAD}<path></svg>",
        "<html/>",
        '<svg xmlns="http://www.w3.org/2000/svg"/>',
        f'<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>{HEAD}<g>&b;</g></svg>',
    ],
)
def test_what_is_no_drawing_is_said(tmp_path: pathlib.Path, text: str) -> None:
    drawing, findings = read(tmp_path, text)
    assert drawing is None
    assert len(findings) == 1
    assert "expected a drawing" in findings[0]


def test_a_drawing_of_groups_without_end_is_refused(tmp_path: pathlib.Path) -> None:
    inside = '<path d="M0 0"/>'
    drawing, findings = read(tmp_path, f"{HEAD}{'<g>' * 48}{inside}{'</g>' * 48}</svg>")
    assert drawing is not None
    assert findings == []
    for deep in (49, 450, 100_000):
        drawing, findings = read(tmp_path, f"{HEAD}{'<g>' * deep}{inside}{'</g>' * deep}</svg>")
        assert drawing is None
        assert findings == [
            "pictures/a.svg:1:1: warning: expected a drawing, found a file that cannot be used: its elements stand one "
            "in another more than 50 deep"
        ]
