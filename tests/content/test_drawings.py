"""The drawings of the demo guide: one hand, one frame, and the difference where the corner ticks say.

What a drawing may hold: a view box of 240 by 160, plain shapes with a class each, no lettering and nothing
that would clash or leak once the file stands inside a page. The forms of one mark share their four corner
ticks, and what tells two forms apart lies between those ticks for the most part. Forms are compared in the
weights of bright sun, all black: there shape and weight must carry the difference without any colour.
"""

from __future__ import annotations

import io
import itertools
import pathlib
import re
import xml.etree.ElementTree as ElementTree
from typing import Any, NamedTuple

import pytest
import yaml
from PIL import Image, ImageChops

CONTENT = pathlib.Path(__file__).resolve().parents[2] / "content"
PLATES = "frontispiece-*"  # of the whole car, in no frame of their own: tests/pages/test_frontispiece.py
PICTURES = sorted(path for path in (CONTENT / "pictures").glob("*.svg") if not path.match(PLATES))
assert PICTURES, "no drawings found in content/pictures"
MARKS = sorted((CONTENT / "marks").glob("*.yml"))
assert MARKS, "no marks found in content/marks"

SVG = "{http://www.w3.org/2000/svg}"
WIDTH, HEIGHT = 240, 160  # the view box
ARM = 9  # of a corner tick, in units of the view box
SHAPES: dict[str, set[str]] = {  # element -> its geometry
    "path": {"d"},
    "circle": {"cx", "cy", "r"},
    "ellipse": {"cx", "cy", "rx", "ry"},
    "rect": {"x", "y", "width", "height", "rx", "ry"},
    "line": {"x1", "y1", "x2", "y2"},
    "polyline": {"points"},
    "polygon": {"points"},
    "g": set(),
}
STROKES = {"context", "part", "detail", "fine", "corner", "glint"}
FILLS = {"face", "dark"}
LARGEST_BYTES = 2_600  # one drawing; every page that asks about its mark carries it inline

ANSWER_WIDTH = 200  # CSS pixels, as answers are shown in rows
SMALLEST_WIDTH = 96  # CSS pixels, the smallest a drawing is shown
TELLING_PIXELS = 40  # at that width, of 96 x 64: an area of about 6 x 6 pixels
TELLING_STEP = 64  # of 255: less is the smoothing of an edge
SHARE_WITHIN = 0.8  # of the differing pixels, within the corner ticks
TICK_MARGIN = 2  # units: half the heaviest stroke, for a line drawn along the ticks


class Box(NamedTuple):
    """What the corner ticks enclose, in units of the view box."""

    left: float
    top: float
    right: float
    bottom: float


def read_drawing(path: pathlib.Path) -> ElementTree.Element:
    """Return the root of a drawing; a file that is not well-formed XML raises `ElementTree.ParseError`."""
    return ElementTree.fromstring(path.read_text(encoding="utf-8"))


def read_ticks(root: ElementTree.Element) -> list[frozenset[tuple[float, float]]]:
    """Return each corner tick as its three points; anything but absolute M, H, V and L fails."""
    strokes: list[list[tuple[float, float]]] = []
    for element in root.iter():
        if "corner" not in element.get("class", "").split():
            continue
        assert element.tag == f"{SVG}path", "corner ticks are drawn as a path"
        geometry = element.get("d", "")
        assert re.fullmatch(r"[MHVL\d\s,.-]+", geometry), f"only M, H, V and L in corner ticks: {geometry}"
        for command, written in re.findall(r"([MHVL])([^MHVL]*)", geometry):
            numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", written)]
            if command == "M":
                strokes.append([(numbers[0], numbers[1])])
            elif command == "H":
                strokes[-1].append((numbers[0], strokes[-1][-1][1]))
            elif command == "V":
                strokes[-1].append((strokes[-1][-1][0], numbers[0]))
            else:
                strokes[-1].append((numbers[0], numbers[1]))
    return [frozenset(stroke) for stroke in strokes]


def read_box(root: ElementTree.Element) -> Box:
    """Return the box the corner ticks enclose."""
    points = [point for stroke in read_ticks(root) for point in stroke]
    assert points, "no corner ticks"
    across, down = [x for x, _ in points], [y for _, y in points]
    return Box(min(across), min(down), max(across), max(down))


def expected_ticks(box: Box) -> set[frozenset[tuple[float, float]]]:
    """Return the four ticks of a box, arms pointing inwards along its sides."""
    return {
        frozenset({(x, y), (x + inward * ARM, y), (x, y + downward * ARM)})
        for x, inward in ((box.left, 1), (box.right, -1))
        for y, downward in ((box.top, 1), (box.bottom, -1))
    }


def mark_of(picture: pathlib.Path) -> str | None:
    """Return the mark a picture belongs to: the longest mark id that begins its name."""
    owners = [mark.stem for mark in MARKS if picture.name.startswith(f"{mark.stem}-")]
    return max(owners, key=len, default=None)


def forms_of(mark: pathlib.Path) -> dict[str, Any]:
    """Return the forms a mark's file names, by id."""
    forms = yaml.safe_load(mark.read_text(encoding="utf-8"))["forms"]
    assert isinstance(forms, dict)
    assert forms
    return forms


FAMILIES: dict[str, list[pathlib.Path]] = {}  # mark id -> the drawings of its forms
for _picture in PICTURES:
    _mark = mark_of(_picture)
    if _mark is not None:
        FAMILIES.setdefault(_mark, []).append(_picture)
assert FAMILIES, "no drawing belongs to any mark"
PAIRS = [pair for family in FAMILIES.values() for pair in itertools.combinations(family, 2)]

each_picture = pytest.mark.parametrize("picture", PICTURES, ids=lambda path: path.stem)
each_mark = pytest.mark.parametrize("mark", MARKS, ids=lambda path: path.stem)
each_pair = pytest.mark.parametrize(("one", "other"), PAIRS, ids=lambda path: path.stem)


@each_picture
def test_a_drawing_fills_the_common_view_box_and_is_small(picture: pathlib.Path) -> None:
    root = read_drawing(picture)
    assert root.tag == f"{SVG}svg"
    assert root.attrib == {"viewBox": f"0 0 {WIDTH} {HEIGHT}"}
    assert picture.stat().st_size <= LARGEST_BYTES


@each_picture
def test_a_drawing_holds_plain_shapes_and_known_classes_only(picture: pathlib.Path) -> None:
    root = read_drawing(picture)
    assert "<!" not in picture.read_text(encoding="utf-8"), "no comment, no document type"
    shapes = list(root.iter())[1:]
    assert shapes, "an empty drawing"
    for element in shapes:
        name = element.tag.removeprefix(SVG)
        assert name in SHAPES, f"{name} has no place in a drawing"
        extra = set(element.attrib) - SHAPES[name] - {"class", "transform"}
        assert not extra, f"{name} carries {sorted(extra)}"
        assert not (element.text or "").strip(), f"{name} holds lettering"
        assert not (element.tail or "").strip(), f"lettering after {name}"
        classes = element.get("class", "").split()
        assert name == "g" or classes, f"{name} has no class, so no stroke"
        assert set(classes) <= STROKES | FILLS, f"unknown among {classes}"
        assert len(STROKES & set(classes)) <= 1, f"more than one stroke in {classes}"
        assert len(FILLS & set(classes)) <= 1, f"more than one fill in {classes}"


@each_picture
def test_a_drawing_has_its_detail_and_at_most_one_highlight(picture: pathlib.Path) -> None:
    classes = [name for element in read_drawing(picture).iter() for name in element.get("class", "").split()]
    assert "context" in classes, "a part needs its surroundings"
    assert classes.count("glint") <= 1


@each_picture
def test_a_drawing_has_four_corner_ticks_inside_its_frame(picture: pathlib.Path) -> None:
    root = read_drawing(picture)
    ticks, box = read_ticks(root), read_box(root)
    assert len(ticks) == 4
    assert set(ticks) == expected_ticks(box)
    assert box.left >= 0
    assert box.top >= 0
    assert box.right <= WIDTH
    assert box.bottom <= HEIGHT


@pytest.mark.parametrize("mark", sorted(FAMILIES))
def test_corner_ticks_are_the_same_on_every_form_of_a_mark(mark: str) -> None:
    boxes = {picture.name: read_box(read_drawing(picture)) for picture in FAMILIES[mark]}
    assert len(set(boxes.values())) == 1, boxes


@each_mark
def test_a_detail_that_is_named_lies_within_the_corner_ticks(mark: pathlib.Path) -> None:
    for form, fields in forms_of(mark).items():
        detail = (fields or {}).get("detail")
        assert detail, f"{mark.stem}: nothing is named on {form}"
        across, down = map(float, detail["spot"].split())
        box = read_box(read_drawing(CONTENT / "pictures" / f"{mark.stem}-{form}.svg"))
        assert box.left <= across <= box.right, form
        assert box.top <= down <= box.bottom, form
        for name in detail["name"].values() if isinstance(detail["name"], dict) else [detail["name"]]:
            assert 1 <= len(name.split()) <= 4


@each_mark
def test_every_form_of_a_mark_has_its_drawing(mark: pathlib.Path) -> None:
    wanted = [(fields or {}).get("picture") or f"{mark.stem}-{form}.svg" for form, fields in forms_of(mark).items()]
    missing = [name for name in wanted if not (CONTENT / "pictures" / name).is_file()]
    assert not missing, f"{mark.name} names forms that are not drawn: {missing}"


# --- drawn by a browser -----------------------------------------------------------------------------------

BRIGHT_SUN = """
  body { margin: 0; background: #fff }
  svg.drawing { position: absolute; overflow: hidden; fill: none; stroke: #000;
                stroke-linecap: round; stroke-linejoin: round }
  .context { stroke-width: 1.5 } .part { stroke-width: 3 } .detail { stroke-width: 4.5 }
  .fine { stroke-width: 2.4 } .corner { stroke-width: 2; stroke-linecap: butt }
  .glint { stroke: #fff; stroke-width: 2.6 } .face { fill: #fff } .dark { fill: url(#hatch) }
"""
HATCH = """<svg width="0" height="0"><defs><pattern id="hatch" width="4.6" height="4.6"
  patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M1 -1V6" stroke="#000"
  stroke-width="1.5"/></pattern></defs></svg>"""
COLUMNS = 8


def render(browser: Any, width: int) -> dict[str, Image.Image]:
    """Draw every picture in one page, ``width`` CSS pixels wide each, and cut the page up; grey, by name."""
    height = width * HEIGHT // WIDTH
    drawn = []
    for index, picture in enumerate(PICTURES):
        row, column = divmod(index, COLUMNS)
        place = f"left:{column * width}px;top:{row * height}px;width:{width}px;height:{height}px"
        source = picture.read_text(encoding="utf-8")
        drawn.append(source.replace("<svg ", f'<svg class="drawing" style="{place}" ', 1))
    rows = -(-len(PICTURES) // COLUMNS)
    page = browser.new_page(viewport={"width": COLUMNS * width, "height": rows * height})
    try:
        page.set_content(f"<!doctype html><style>{BRIGHT_SUN}</style>{HATCH}{''.join(drawn)}")
        sheet = Image.open(io.BytesIO(page.screenshot())).convert("L")
    finally:
        page.close()
    assert sheet.size == (COLUMNS * width, rows * height)
    cut = {}
    for index, picture in enumerate(PICTURES):
        row, column = divmod(index, COLUMNS)
        left, top = column * width, row * height
        cut[picture.name] = sheet.crop((left, top, left + width, top + height))
    return cut


@pytest.fixture(scope="module")
def full_size(chromium: Any) -> dict[str, Image.Image]:
    """Every drawing at one pixel to the unit."""
    return render(chromium, WIDTH)


@pytest.fixture(scope="module")
def smallest(chromium: Any) -> dict[str, Image.Image]:
    """Every drawing at the smallest width it is shown."""
    return render(chromium, SMALLEST_WIDTH)


def differing(one: Image.Image, other: Image.Image) -> Image.Image:
    """Return white where two drawings differ by more than smoothing, black elsewhere."""
    return ImageChops.difference(one, other).point(lambda step: 255 if step > TELLING_STEP else 0)


def count_white(image: Image.Image) -> int:
    """Return how many pixels are white."""
    return image.histogram()[255]


@pytest.mark.browser
def test_all_drawings_stand_on_one_sheet_for_eyes(chromium: Any, tmp_path: pathlib.Path) -> None:
    """What no figure tells, whether a drawing reads as the thing, is for eyes: the sheet is left in the output."""
    width = ANSWER_WIDTH
    drawn = render(chromium, width)
    rows = -(-len(drawn) // COLUMNS)
    sheet = Image.new("L", (COLUMNS * width, rows * width * HEIGHT // WIDTH), 255)
    for at, name in enumerate(drawn):
        sheet.paste(drawn[name], (at % COLUMNS * width, at // COLUMNS * width * HEIGHT // WIDTH))
    sheet.save(tmp_path / "drawings.png")
    print(f"\nevery drawing at the size of an answer: {tmp_path / 'drawings.png'}")
    assert list(drawn) == [picture.name for picture in PICTURES]


def test_each_interior_is_listed_with_its_own_drawing_and_colour(built_guide: pathlib.Path, guide: Any) -> None:
    page = (built_guide / "interiors.html").read_text(encoding="utf-8")
    drawn = re.findall(r'class="leaf">(<svg class="drawing".*?</svg>)', page, re.DOTALL)
    assert len(drawn) == len(set(drawn)) == len(guide.interiors), "grain or weave tells one from another, not the part"
    colours = re.findall(r'class="swatch".*?fill="#([0-9a-f]{6})"', page)
    assert colours == [one.swatch for one in guide.interiors.values()]


@pytest.mark.browser
@each_picture
def test_a_drawing_puts_ink_on_the_leaf(picture: pathlib.Path, full_size: dict[str, Image.Image]) -> None:
    inked = sum(full_size[picture.name].histogram()[:128])
    assert inked > WIDTH * HEIGHT * 0.01
    assert inked < WIDTH * HEIGHT * 0.5


@pytest.mark.browser
@each_pair
def test_two_forms_of_a_mark_can_be_told_apart_when_smallest_in_bright_sun(
    one: pathlib.Path, other: pathlib.Path, smallest: dict[str, Image.Image]
) -> None:
    assert count_white(differing(smallest[one.name], smallest[other.name])) >= TELLING_PIXELS


@pytest.mark.browser
@each_pair
def test_two_forms_of_a_mark_differ_within_the_corner_ticks(
    one: pathlib.Path, other: pathlib.Path, full_size: dict[str, Image.Image]
) -> None:
    difference = differing(full_size[one.name], full_size[other.name])
    box = read_box(read_drawing(one))
    within = difference.crop(
        (
            max(0, int(box.left) - TICK_MARGIN),
            max(0, int(box.top) - TICK_MARGIN),
            min(WIDTH, int(box.right) + TICK_MARGIN),
            min(HEIGHT, int(box.bottom) + TICK_MARGIN),
        )
    )
    assert count_white(difference) > 0
    assert count_white(within) >= SHARE_WITHIN * count_white(difference)
