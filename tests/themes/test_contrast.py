"""Contrast of every theme, computed from its own custom properties, in every light and on a leaf.

Source: WCAG 2.2, relative luminance and contrast ratio, with the threshold 0.04045 of sRGB (IEC 61966-2-1;
the 0.03928 of older texts gives the same for 8-bit colours). Success criteria 1.4.3 (text, 4.5) and 1.4.11
(lines, 3).

The ratios only speak for the pages as long as every colour goes through a role, so that is tested too.
"""

from __future__ import annotations

import itertools
import pathlib
import re
from dataclasses import dataclass, replace

import pytest

from guide.press.theme import THEMES as _FOLDER
from guide.press.theme import open_theme, themes_known
from tests.themes.css import Block, read_css, walk

THEMES = themes_known()
assert {"field", "plain"} <= set(THEMES)

GROUNDS = ("paper", "leaf", "wash")
WRITING = ("ink", "soft", "mark")
ROLES = (*GROUNDS, *WRITING, "line", "hair")


@dataclass(frozen=True, slots=True)
class Light:
    """How a page is looked at: the medium, what the device prefers, what was pressed, on a leaf or not."""

    name: str
    medium: str = "screen"
    scheme: str = "light"
    pressed: str = ""
    leaf: bool = False


_LIGHTS = (
    Light("light"),
    Light("dark", scheme="dark"),
    Light("plain in the dark", scheme="dark", pressed="plain"),
    Light("bright sun", pressed="sun"),
    Light("bright sun in the dark", scheme="dark", pressed="sun"),
    Light("print", medium="print"),
    Light("print from the dark", medium="print", scheme="dark"),
    Light("print from bright sun", medium="print", scheme="dark", pressed="sun"),
)
LIGHTS = (*_LIGHTS, *(replace(light, name=f"leaf, {light.name}", leaf=True) for light in _LIGHTS))


def luminance(colour: str) -> float:
    """Return the relative luminance, 0 to 1, of ``#rgb`` or ``#rrggbb``."""
    digits = colour.lstrip("#")
    digits = "".join(2 * digit for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def media_hold(query: str, light: Light) -> bool:
    """Tell whether a media query holds; raises ValueError for one that this test does not understand."""

    def one(part: str) -> bool:
        holds = True
        for term in re.split(r"\s+and\s+", part.strip().lower()):
            term, wanted = (term[4:], False) if term.startswith("not ") else (term, True)
            scheme = re.fullmatch(r"\(prefers-color-scheme:\s*(dark|light)\)", term)
            if term in ("all", "only screen", "screen", "print"):
                found = term == "all" or term.endswith(light.medium)
            elif scheme:
                found = scheme[1] == light.scheme
            elif re.fullmatch(r"\(forced-colors:\s*active\)", term):
                found = False  # the person's own colours, not the theme's
            else:
                raise ValueError(f"colours that hang on the query {term!r} are not understood by this test")
            holds = holds and found is wanted
        return holds

    return any(one(part) for part in query.split(","))


_PART = re.compile(
    r""":root|html|body|\.leaf
    |\[data-light(?:=["']?(\w+)["']?)?\]
    |:not\(\[data-light(?:=["']?(\w+)["']?)?\]\)""",
    re.VERBOSE,
)


def selector_holds(selector: str, light: Light) -> tuple[int, bool] | None:
    """Return the weight of a selector for the roles and whether it speaks of a leaf; None when it is off.

    Raises ValueError for a selector that this test does not understand.
    """
    weight, on_leaf = 0, False
    for compound in selector.split():
        rest = compound
        while rest:
            part = _PART.match(rest)
            if not part:
                raise ValueError(f"colours set by {selector!r} are not understood by this test")
            text = part[0]
            if text.startswith(("[", ":not")):
                asked = part[1] or part[2]
                found = light.pressed == asked if asked else bool(light.pressed)
                if found is text.startswith(":not"):
                    return None
            on_leaf = on_leaf or text == ".leaf"
            weight += 10 if text[0] in ":[." else 1
            rest = rest[len(text) :]
    return (weight, on_leaf) if light.leaf or not on_leaf else None


def properties(sheet: Block, light: Light) -> dict[str, str]:
    """Return every custom property in one light, as the cascade leaves it, by its name without dashes."""
    found: list[tuple[int, int, dict[str, str]]] = []
    for order, (above, block) in enumerate(walk(sheet)):
        own = {d.name[2:]: d.value for d in block.declarations if d.name.startswith("--")}
        if not any(name.endswith(ROLES) for name in own):
            continue
        if not all(media_hold(prelude.removeprefix("@media "), light) for prelude in above):
            continue
        for selector in block.prelude.split(","):
            holds = selector_holds(selector.strip(), light)
            if holds:
                # what is set on the leaf itself beats what it inherits, whatever the specificity
                found.append((holds[0] + 1000 * holds[1], order, own))
    values: dict[str, str] = {}
    for _, _, own in sorted(found, key=lambda item: item[:2]):
        values.update(own)
    return values


def colour_of(role: str, values: dict[str, str]) -> str:
    """Return the colour a role comes to.

    Raises KeyError for a missing property, ValueError for a value that is no plain colour.
    """
    value, seen = values[role], {role}
    while reference := re.fullmatch(r"var\(--([\w-]+)\)", value):
        assert reference[1] not in seen, f"--{role} goes round in a circle"
        seen.add(reference[1])
        value = values[reference[1]]
    if not re.fullmatch(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})", value):
        raise ValueError(f"--{role} is {value!r}: expected #rrggbb, so that its contrast can be computed")
    return value


def too_faint(sheet: Block, light: Light) -> list[str]:
    """Return every pair of roles that is under its ratio in one light, in words."""
    values = properties(sheet, light)
    colours = {role: colour_of(role, values) for role in ROLES}
    pairs = [(role, ground, 4.5) for role, ground in itertools.product(WRITING, GROUNDS)]
    pairs += [("line", ground, 3.0) for ground in GROUNDS]
    pairs.append(("paper", "mark", 4.5))  # the lettering of the button for the next action
    ratios = [(one, other, least, contrast(colours[one], colours[other])) for one, other, least in pairs]
    return [
        f"{light.name}: {one} {colours[one]} on {other} {colours[other]} is {ratio:.2f}, less than {least}"
        for one, other, least, ratio in ratios
        if ratio < least
    ]


def test_contrast_agrees_with_published_ratios_on_white() -> None:
    """WCAG 2.2 formula; ratios on white that are published for these colours, to six places."""
    published = {
        "#777777": 4.478089,
        "#767676": 4.542225,
        "#595959": 7.004729,
        "#949494": 3.033470,
        "#FF0000": 3.998477,
        "#0000FF": 8.592471,
        "#008000": 5.137403,
        "#000": 21.0,
        "#fff": 1.0,
    }
    assert {colour: round(contrast(colour, "#ffffff"), 6) for colour in published} == published
    assert contrast("#8a2f14", "#faf7f0") == contrast("#faf7f0", "#8a2f14")


def look_of(theme: str) -> Block:
    """Return a theme's first sheet with all that it lies upon."""
    return read_css(open_theme(theme).styles()["style/look.css"].decode())


SHEETS = sorted(path for theme in THEMES for path in (_FOLDER / theme / "style").glob("*.css"))


@pytest.mark.parametrize("light", LIGHTS, ids=lambda light: light.name)
@pytest.mark.parametrize("theme", THEMES)
def test_every_pair_of_roles_can_be_read(theme: str, light: Light) -> None:
    assert too_faint(look_of(theme), light) == []


@pytest.mark.parametrize("theme", THEMES)
def test_bright_sun_and_print_are_black_on_white(theme: str) -> None:
    sheet = look_of(theme)
    for light in LIGHTS:
        if "sun" in light.name or "print" in light.name:
            values = properties(sheet, light)
            ratios = {contrast(colour_of("ink", values), colour_of(ground, values)) for ground in GROUNDS}
            assert ratios == {21.0}, light


@pytest.mark.parametrize("theme", THEMES)
def test_a_leaf_stays_paper_in_the_dark_so_that_black_parts_stay_black(theme: str) -> None:
    sheet = look_of(theme)
    leaf = properties(sheet, Light("leaf, dark", scheme="dark", leaf=True))
    page = properties(sheet, Light("dark", scheme="dark"))
    assert luminance(colour_of("ink", leaf)) < luminance(colour_of("leaf", leaf))
    assert luminance(colour_of("ink", page)) > luminance(colour_of("paper", page))
    assert luminance(colour_of("leaf", leaf)) < 0.75, "a leaf in the dark should not dazzle"


# the names that people type; system colours such as Canvas are the person's own and stay allowed
_NAMED = re.compile(
    r"\b(?:black|white|red|green|blue|gr[ae]y|silver|navy|maroon|olive|teal|purple|yellow|orange|brown|gold"
    r"|beige|ivory|pink|cyan|magenta|lime|tan)\b"
)
_LITERAL = re.compile(r"#[0-9a-fA-F]{3,8}\b|\b(?:rgba?|hsla?|hwb|lab|lch|oklab|oklch|color)\(")
_TAKES_COLOUR = re.compile("color|background|fill|stroke|stop-|caret-|accent-|text-|border|outline|column-|box-")


def own_colours(sheet: Block) -> list[str]:
    """Return every declaration that names a colour instead of a role."""
    found = []
    for _, block in walk(sheet):
        for declaration in block.declarations:
            if declaration.name.startswith("--") or not _TAKES_COLOUR.match(declaration.name):
                continue
            value = re.sub(r"(?:url|var)\([^)]*\)|\"[^\"]*\"", "", declaration.value.lower())
            if _LITERAL.search(value) or _NAMED.search(value):
                found.append(f"line {declaration.line}: {declaration.name}: {declaration.value}")
    return found


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: f"{sheet.parent.parent.name}/{sheet.name}")
def test_every_colour_goes_through_a_role(sheet: pathlib.Path) -> None:
    assert own_colours(read_css(sheet.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "sheet",
    [sheet for sheet in SHEETS if sheet.name != "look.css"],
    ids=lambda sheet: f"{sheet.parent.parent.name}/{sheet.name}",
)
def test_roles_are_set_in_one_sheet_only(sheet: pathlib.Path) -> None:
    blocks = walk(read_css(sheet.read_text(encoding="utf-8")))
    here = {declaration.name for _, block in blocks for declaration in block.declarations}
    assert here & {f"--{role}" for role in ROLES} == set()


GOOD = """
:root { --paper: #fff; --leaf: #fff; --wash: #fff; --ink: #000; --soft: #333; --mark: #8a2f14; --line: #777;
  --hair: #ccc }
@media screen and (prefers-color-scheme: dark) { :root:not([data-light="sun"]) { --paper: #000; --leaf: #111;
  --wash: #222; --ink: #fff; --soft: #ddd; --mark: #f2a585; --line: #999 } }
"""


@pytest.mark.parametrize(
    ("planted", "light", "said"),
    [
        ("", Light("light"), []),
        ("", Light("dark", scheme="dark"), []),
        (
            ":root { --soft: #777 }",
            Light("light"),
            [f"light: soft #777 on {ground} #fff is 4.48, less than 4.5" for ground in GROUNDS],
        ),
        (
            ":root { --soft: #777 } /* :root { --soft: #000 } */",
            Light("print", medium="print"),
            [f"print: soft #777 on {ground} #fff is 4.48, less than 4.5" for ground in GROUNDS],
        ),
        ("@media print { :root { --line: #aaa } }", Light("light"), []),
        (
            "@media print { :root { --line: #aaa } }",
            Light("print", medium="print"),
            [f"print: line #aaa on {ground} #fff is 2.32, less than 3.0" for ground in GROUNDS],
        ),
        (
            ".leaf { --ink: var(--line) }",
            Light("leaf", leaf=True),
            [f"leaf: ink #777 on {ground} #fff is 4.48, less than 4.5" for ground in GROUNDS],
        ),
    ],
)
def test_a_faint_pair_is_noticed(planted: str, light: Light, said: list[str]) -> None:
    assert too_faint(read_css(GOOD + planted), light) == said


def test_a_missing_property_and_a_colour_that_cannot_be_computed_fail() -> None:
    with pytest.raises(KeyError, match="wash"):
        too_faint(read_css(GOOD.replace("--wash: #fff;", "", 1)), Light("light"))
    with pytest.raises(KeyError, match="none-such"):
        too_faint(read_css(GOOD + ":root { --ink: var(--none-such) }"), Light("light"))
    with pytest.raises(ValueError, match="expected #rrggbb"):
        too_faint(read_css(GOOD + ":root { --ink: rebeccapurple }"), Light("light"))
    with pytest.raises(ValueError, match="not understood"):
        too_faint(read_css(GOOD + "@media (min-width: 9em) { :root { --ink: #888 } }"), Light("light"))
    with pytest.raises(ValueError, match="not understood"):
        too_faint(read_css(GOOD + ".card { --ink: #888 }"), Light("light"))


def test_a_colour_of_its_own_is_noticed() -> None:
    planted = """a { color: #123456; border: 1px solid var(--line) } b { background: WHITE } p { fill: none }
i { border-top: 1px solid rgb(1 2 3) } q { color: var(--white) } u { background: url("#abc") }"""
    assert own_colours(read_css(planted)) == [
        "line 1: color: #123456",
        "line 1: background: WHITE",
        "line 2: border-top: 1px solid rgb(1 2 3)",
    ]


def test_a_brace_too_many_or_too_few_is_noticed() -> None:
    for bad in ("a { color: red } }", "@media print { a { color: red }"):
        with pytest.raises(ValueError, match="line 1"):
            read_css(bad)
