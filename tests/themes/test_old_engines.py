"""Styles, scripts and templates keep to the oldest engines: Chromium 100, Firefox 100, Safari 15.4."""

from __future__ import annotations

import pathlib
import re

import pytest

from tests.themes.css import read_css
from tests.themes.features import FEATURES, KNOWN, OLDEST, Feature
from tests.themes.javascript import tokens_of
from tests.themes.old_engines import lint_page, lint_script, lint_style, used_by_page, used_by_script, used_by_style

ROOT = pathlib.Path(__file__).resolve().parents[2]
STYLES = sorted(ROOT.glob("themes/*/style/*.css"))
SCRIPTS = sorted([*ROOT.glob("themes/*/scripts/*.js"), *ROOT.glob("guide/**/*.js")])
TEMPLATES = sorted([*ROOT.glob("themes/*/pages/**/*.html"), *ROOT.glob("guide/**/*.html")])
assert STYLES, "no styles found"
assert SCRIPTS, "no scripts found"
assert TEMPLATES, "no templates found"


def named(path: pathlib.Path) -> str:
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_a_style_keeps_to_the_oldest_engines(path: pathlib.Path) -> None:
    assert lint_style(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", SCRIPTS, ids=named)
def test_a_script_keeps_to_the_oldest_engines(path: pathlib.Path) -> None:
    assert lint_script(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", TEMPLATES, ids=named)
def test_a_template_keeps_to_the_oldest_engines(path: pathlib.Path) -> None:
    assert lint_page(path.read_text(encoding="utf-8")) == []


def test_the_oldest_engines_are_those_that_the_developers_page_states() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    stated = re.search(r"Chromium ([\d.]+), Firefox ([\d.]+), Safari ([\d.]+)", text)
    assert stated
    assert tuple(float(version) for version in stated.groups()) == OLDEST


# ---- the lint itself: every row of the table is found where it is planted ----

_STYLE = {
    "property": "a {{ {name}: none }}",
    "function": "a {{ width: {name}(1px) }}",
    "unit": "a {{ width: 1.5{name} }}",
    "selector": "a{name} {{ color: red }}",
    "at": "{name} x {{ a {{ color: red }} }}",
    "media": "@media ({name}: x) {{ a {{ color: red }} }}",
}
_SCRIPT = {
    "member": "thing.{name}(1);",
    "global": "const a = new {name}();",
    "intl": "new Intl.{name}('en');",
    "event": "thing.addEventListener('{name}', go);",
}
_PAGE = {"element": "<{name}>x</{name}>", "attribute": "<p {name}>x</p>"}
_WRITTEN = {
    "static-block": "class A { static { go(); } }",
    "private-in": "class A { #b; has(c) { return #b in c; } }",
    "logical-assign": "a ??= b;",
    "array-from-iterator-helper": "[...seen.values().map(f)];",
    "nesting": "a { b { color: red } }",
    "media-range": "@media (width >= 40rem) { a { color: red } }",
    "nth-of": "a:nth-child(2 of .b) { color: red }",
    "relative-colour": "a { color: rgb(from red r g b) }",
    "decoration-width": "a { text-decoration: underline 2px }",
    "display-two-words": "a { display: inline flex }",
}


def planted(feature: Feature) -> str:
    """Return a piece of code that uses a feature."""
    if feature.kind == "value":
        return "a {{ {}: {} }}".format(*feature.name.split(":"))
    if feature.kind == "pattern":
        head, _, flag = feature.name.partition("flag:")
        tail = "L}" if head.endswith("{") else "a)"
        return f"test(/a/{flag});" if flag else f"test(/x{head}{tail}/u);"
    if feature.kind == "syntax":
        return _WRITTEN[feature.name]
    code = (_STYLE | _SCRIPT | _PAGE)[feature.kind].format(name=feature.name)
    return code.replace("thing.", "") if feature.kind == "member" and "." in feature.name else code


def language(feature: Feature) -> str:
    """Return which of the three a feature belongs to."""
    if feature.kind in _PAGE:
        return "page"
    of_style = {*_STYLE, "value"} | ({"syntax"} if re.match(r"a[ :].*\{|@", planted(feature)) else set())
    return "style" if feature.kind in of_style else "script"


LINTS = {
    "style": (lint_style, used_by_style),
    "script": (lint_script, used_by_script),
    "page": (lint_page, used_by_page),
}


@pytest.mark.parametrize("kind", sorted({feature.kind for feature in FEATURES}))
def test_every_feature_of_the_table_is_found_where_it_is_planted(kind: str) -> None:
    for feature in FEATURES:
        if feature.kind == kind:
            lint, used = LINTS[language(feature)]
            code = planted(feature)
            assert (1, feature.kind, feature.name) in [use[:3] for use in used(code)], feature
            said = [sentence for sentence in lint(code) if f": {feature.kind} {feature.name} " in sentence]
            assert bool(said) is (feature.too_new and not feature.loss), feature


def test_comments_and_strings_fool_nobody() -> None:
    for feature in FEATURES:
        code = planted(feature)
        where = language(feature)
        if where == "style":
            assert lint_style(f'/* {code} */ a::before {{ content: "{code}" }}') == []
        elif where == "script":
            quoted = code.replace("\\", "\\\\").replace('"', "'")
            assert lint_script(f'// {code}\n/* {code} */ const a = "{quoted}" + `{quoted}`;') == []
        else:
            assert lint_page(f"<!-- {code} -->{{# {code} #}}<p>x</p>") == []


@pytest.mark.parametrize(
    "code",
    [
        "a { min-height: 100vh; min-height: 100dvh }",
        "a { -webkit-user-select: none; user-select: none }",
        "@supports (width: 1cqw) { a { width: 1cqw } }",
        "a { --dvh: 1px; width: var(--dvh) }",
        "#abc1lh { color: #1ab2cd; background: url(1dvh.png) }",
        "@keyframes a { 50% { opacity: 0 } to { opacity: 1 } }",
        "@media screen and (min-width: 40rem) { a[href*=':has(']:not(.b) { color: red } }",
        "@page { size: A4; margin: 12mm }",
    ],
)
def test_a_style_with_its_fallback_passes(code: str) -> None:
    assert lint_style(code) == []


@pytest.mark.parametrize(
    "code",
    [
        "a { min-height: 100dvh; min-height: 100vh }",
        "a { min-height: 100vh } b { min-height: 100dvh }",
        "a { -webkit-backdrop-filter: none; backdrop-filter: none }",
        "a { frobnicate: 1px }",
        "a:frobnicate { color: red }",
        "a { width: frobnicate(1px) }",
        "a { width: 1frob }",
        "@frobnicate x { a { color: red } }",
        "@media (frobnicate: 1) { a { color: red } }",
        "a { mask: url(x.svg); -webkit-mask: url(x.svg) }",
    ],
)
def test_a_style_without_a_fallback_or_with_something_unheard_of_does_not(code: str) -> None:
    assert lint_style(code) != []


@pytest.mark.parametrize(
    "code",
    [
        "if (navigator.share) { navigator.share({ text: a }); }",
        "if (\"wakeLock\" in navigator) { navigator.wakeLock.request('screen'); }",
        "const left = navigator.storage && navigator.storage.estimate ? navigator.storage.estimate() : null;",
        "window.navigator.vibrate?.(5);",
        "if (!navigator.share) { return; } navigator.share(a);",
        "Object.values(forms).map(f); Object.keys(forms).filter(g);",
        "const a = b / c; const d = e / (?<=1);".replace("(?<=1)", "2"),
        "const share = { share: 1 }; part.share.vibrate(1);",
        "a = x => /[/]\\/(?:b)/g.test(x) ? 1 / 2 : `${x / 2}/${{ a: `b` }.a}`;",
        "document.addEventListener('LiveReloadConnect', () => fetch('a'));",
        "self.addEventListener('install', (e) => { e.waitUntil(go()); }); function go() { return fetch('a'); }",
    ],
)
def test_a_script_that_asks_first_passes(code: str) -> None:
    assert lint_script(code) == []


@pytest.mark.parametrize(
    "code",
    [
        "navigator.share({ text: a });",
        "cars.findLast((car) => car.seen);",
        "cars?.toSorted();",
        "cars['findLast'](f);",
        "`${cars.findLast(f)}`;",
        "const a = `b${c + `d${e.at(0)} ${e.findLast(f)}`}`;",
        "for (const found of text.matchAll(/a(b)/g).map(f)) { go(found); }",
        "new RegExp('(?<=a)b');",
        "return /(?<!a)b/;",
        "import { a } from './a.js';",
        "import('./a.js').then(go);",
        "export const a = 1;",
        "fetch('data.json').then(go);",
        "const r = await window.fetch('data.json');",
        "new Worker('w.js');",
        "const f = new Function('return 1');",
        "p.setAttribute('style', 'color: red');",
    ],
)
def test_a_script_that_relies_on_something_new_or_refused_does_not(code: str) -> None:
    assert lint_script(code) != []


@pytest.mark.parametrize(
    "code",
    [
        '<script type="module" src="a.js"></script>',
        '<script src="a.js" integrity="sha384-x"></script>',
        '<link rel="stylesheet" href="a.css" crossorigin>',
        '<link rel="stylesheet" href="https://example.org/a.css">',
        '<img src="//example.org/a.png" alt="">',
        '<svg><use href="sprite.svg#a"/></svg>',
        '<p style="color: red">x</p>',
        '<button onclick="go()">x</button>',
        '<meta name="viewport" content="width=device-width, maximum-scale=1">',
        "<script>cars.findLast({{ test }});</script>",
        "<style>a { b { color: red } }</style>",
        "<main>{% if a %}<p popover>{{ b }}</p>{% endif %}</main>",
    ],
)
def test_a_page_that_would_fail_from_disk_is_noticed(code: str) -> None:
    assert len(lint_page(code)) == 1


def test_a_page_as_ours_are_passes_and_lines_are_counted() -> None:
    assert (
        lint_page(
            '<a href="https://example.org/">x</a><use href="#a"/><script type="application/json">{"a": 1}'
            "</script>"
            '<dialog><p hidden inputmode="numeric">{# popover #}</p></dialog>'
        )
        == []
    )
    assert lint_page("<p>\n<script>\n\nimport('a');\n</script>") == [
        "line 4: import: a page opened from disk has no modules"
    ]
    assert lint_style("/* one\n two */ a { color: red }\nb { inset: 0;\n translate: 1px }") == [
        "line 4: property translate needs Chromium 104, Firefox 72, Safari 14.1"
    ]


def test_the_table_is_sound() -> None:
    rows = [(feature.kind, feature.name) for feature in FEATURES]
    assert len(rows) == len(set(rows)) > 250
    assert [row for row in rows if row[1] in KNOWN.get(row[0], ())] == []
    assert [feature.name for feature in FEATURES if feature.loss and not feature.too_new] == []


def test_what_is_no_code_is_said_to_be_none() -> None:
    for text in ("const a = 'b", "const a = `b", "const a = `b${c`"):
        with pytest.raises(ValueError, match="never closed"):
            tokens_of(text)
    with pytest.raises(ValueError, match="never closed"):
        read_css("a { color: red")
