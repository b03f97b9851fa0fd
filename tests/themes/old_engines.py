"""The lint for old engines: what a style, a script or a page uses, and what the oldest engines lack of it.

Beside the engines' age it knows what a page opened from disk may not do, and what our own content security
policy refuses; both were tried in Chromium, Firefox and WebKit.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser

from tests.themes.css import Block, read_css, walk
from tests.themes.features import FEATURES, KNOWN, Feature
from tests.themes.javascript import Token, tokens_of

__all__ = ["lint_page", "lint_script", "lint_style", "used_by_page", "used_by_script", "used_by_style"]

Use = tuple[int, str, str, bool]  # line, kind, name, whether the code does without where it is missing
_TABLE = {(feature.kind, feature.name): feature for feature in FEATURES}


def lint_style(text: str) -> list[str]:
    """Return a sentence for every use of something that the oldest engines lack, in order of line."""
    said = _complaints(used_by_style(text))
    for _, block in walk(read_css(text)):
        for declaration in block.declarations:
            if declaration.name.endswith("mask") and "url(" in declaration.value:
                said.append((declaration.line, "a mask from a file fails in Firefox when opened from disk"))
    return _printed(said)


def lint_script(text: str) -> list[str]:
    """Return a sentence for every use of something that the oldest engines or a page on disk lack."""
    tokens = tokens_of(text)
    return _printed(
        _complaints(used_by_script(text)) + [(tokens[at].line, why) for at, why in _refused_from_disk(tokens)]
    )


def lint_page(text: str) -> list[str]:
    """Return a sentence for every such use in a page or template, inline scripts and styles included."""
    reader = _PageReader()
    reader.feed(_without_jinja(text))
    said = _complaints(reader.uses) + reader.refused
    for line, inner, lint in reader.inner:
        for sentence in lint(inner):
            at, why = sentence.removeprefix("line ").split(": ", 1)
            said.append((line + int(at) - 1, why))
    return _printed(said)


def _printed(said: list[tuple[int, str]]) -> list[str]:
    return [f"line {line}: {why}" for line, why in sorted(set(said))]


def _complaints(uses: list[Use]) -> list[tuple[int, str]]:
    said = []
    for line, kind, name, guarded in uses:
        feature = _TABLE.get((kind, name))
        if feature is None:
            if kind in KNOWN and name not in KNOWN[kind]:
                said.append((line, f"{kind} {name} is in no table: look up since when browsers have it"))
        elif feature.too_new and not feature.loss and not guarded:
            said.append((line, f"{kind} {name} needs {_since(feature)}"))
    return said


def _since(feature: Feature) -> str:
    names = zip(("Chromium", "Firefox", "Safari"), feature.since, strict=True)
    return ", ".join(f"{name} {version:g}".replace(" inf", " (never)") for name, version in names)


# ---- styles ----

_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'|\[[^\]]*\]|url\([^)]*\)")


def used_by_style(text: str) -> list[Use]:
    """Return what a stylesheet uses; something in ``@supports`` or after an older declaration is guarded."""
    uses: list[Use] = []
    for above, block in walk(read_css(text)):
        supported = any(prelude.startswith("@supports") for prelude in above)
        uses += [(block.line, kind, name, supported) for kind, name in _of_prelude(block.prelude, above)]
        uses += [(line, kind, name, supported or guarded) for line, kind, name, guarded in _of_declarations(block)]
    return uses


def _of_prelude(prelude: str, above: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    if any(not outer.startswith("@") for outer in above):
        yield "syntax", "nesting"
    bare = _QUOTED.sub("", prelude)
    if bare.startswith("@"):
        yield "at", bare.split()[0].split("(")[0]
        if bare.startswith("@media"):
            if re.search(r"[<>]|\(\s*[\w-]+\s*=", bare):
                yield "syntax", "media-range"
            yield from (("media", name) for name in re.findall(r"\(\s*([a-z-]+)\s*[:)]", bare))
        return
    if any(outer.startswith("@keyframes") for outer in above):
        return
    if re.search(r":nth-(?:last-)?child\([^)]* of ", bare):
        yield "syntax", "nth-of"
    yield from (("selector", name) for name in re.findall(r"::?[a-z-]+", bare))


def _of_declarations(block: Block) -> Iterator[Use]:
    """Yield what the declarations use; one that an engine drops is guarded by one before it."""
    names = {declaration.name for declaration in block.declarations}
    before: set[str] = set()
    for declaration in block.declarations:
        name = declaration.name
        if name.startswith("@"):
            yield declaration.line, "at", name.split()[0], False
            continue
        if not name.startswith("--"):
            feature = _TABLE.get(("property", name))
            prefixed = f"-webkit-{name}" in names and (feature is None or feature.since[1] <= 100)
            yield declaration.line, "property", name, prefixed
        for kind, used in _of_value(name, declaration.value):
            yield declaration.line, kind, used, name in before
        before.add(name)


def _of_value(name: str, value: str) -> Iterator[tuple[str, str]]:
    bare = re.sub(r"--[\w-]+", "", _QUOTED.sub("", value))
    yield from (("function", found) for found in re.findall(r"(?<![\w-])([a-zA-Z][a-zA-Z-]*)\(", bare))
    bare = bare.lower()
    yield from (("unit", found) for found in re.findall(r"(?<![\w#-])-?(?:\d+\.?\d*|\.\d+)([a-z]+)\b", bare))
    words = re.findall(r"[a-z-]+", bare)
    yield from (("value", f"{name}:{word}") for word in words if ("value", f"{name}:{word}") in _TABLE)
    if re.search(r"\(\s*from\s", bare):
        yield "syntax", "relative-colour"
    if name == "text-decoration" and re.search(r"\d", bare):
        yield "syntax", "decoration-width"
    if name == "display" and len(words) > 1 and "!" not in bare:
        yield "syntax", "display-two-words"


# ---- scripts ----

_HELPERS = {"map", "filter", "take", "drop", "flatMap", "reduce", "toArray", "some", "every", "find"}


def used_by_script(text: str) -> list[Use]:
    """Return what a script uses; a name that the script itself asks after somewhere is guarded."""
    tokens = tokens_of(text)
    code = " ".join(f'"{token.text}"' if token.kind == "string" else token.text for token in tokens)
    return [
        (tokens[at].line, kind, name, (kind, name) in _TABLE and _asked_after(name, code))
        for at, kind, name in _of_tokens(tokens)
    ]


def _asked_after(name: str, code: str) -> bool:
    """Tell whether a script asks for a name before it relies on it: ``"x" in``, ``a.x &&``, ``a.x?.``."""
    word = re.escape(name.rpartition(".")[2])
    thing = rf"(?:[\w$]+ \?*\. )*{word}"
    return bool(
        re.search(rf'"{word}" in |typeof {thing}\b|! {thing} (?!\()|\b{word} (?:&&|\?\.|\?) |if \( {thing} \)', code)
    )


def _of_tokens(tokens: list[Token]) -> Iterator[tuple[int, str, str]]:
    none = Token("", "", 0)
    padded = [none, none, *tokens, none, none, none]
    for at, token in enumerate(tokens):
        last, here, after, third = padded[at + 1], padded[at + 2], padded[at + 3], padded[at + 4]
        if token.kind == "pattern":
            yield from ((at, "pattern", name) for name in _of_pattern(token.text))
        elif token.kind == "word" and last.text in (".", "?."):
            of_that = f"{padded[at].text}.{token.text}"
            yield at, "member", of_that if ("member", of_that) in _TABLE else token.text
            if padded[at].text == "Intl":
                yield at, "intl", token.text
        elif token.kind == "word" and after.text != ":":
            yield at, "global", token.text
        if token.kind == "string" and last.text == "[" and after.text == "]":
            yield at, "member", token.text
        if token.kind == "string" and last.text == "(" and padded[at].text == "addEventListener":
            yield at, "event", token.text
        if token.kind == "string" and last.text == "(" and padded[at].text == "RegExp":
            yield from ((at, "pattern", name) for name in _of_pattern(f"/{token.text}/"))
        if here.text == "static" and after.text == "{":
            yield at, "syntax", "static-block"
        if here.text.startswith("#") and after.text == "in":
            yield at, "syntax", "private-in"
        if here.text in ("&&=", "||=", "??="):
            yield at, "syntax", "logical-assign"
        if here.text in ("values", "keys", "entries", "matchAll") and after.text == "(":
            then = [token.text for token in tokens[_closing(tokens, at + 1) + 1 :][:2]]
            iterates = here.text == "matchAll" or third.text == ")"
            if iterates and then[:1] == ["."] and then[-1] in _HELPERS:
                yield at, "syntax", "array-from-iterator-helper"


def _closing(tokens: list[Token], at: int) -> int:
    depth = 0
    for index in range(at, len(tokens)):
        text = tokens[index].text if tokens[index].kind == "sign" else ""
        depth += (text == "(") - (text == ")")
        if depth == 0:
            return index
    return len(tokens)


def _of_pattern(text: str) -> Iterator[str]:
    body, _, flags = text.rpartition("/")
    yield from (f"flag:{flag}" for flag in flags if flag not in "gimu")
    bare = re.sub(r"\\[^p]", "", body)
    yield from (
        feature.name
        for feature in FEATURES
        if feature.kind == "pattern" and feature.name[0] in "(\\" and feature.name in bare
    )


# what a page opened from disk, or our own policy, refuses
_REFUSED = {"fetch", "XMLHttpRequest", "EventSource", "WebSocket", "Worker", "eval", "Function"}
_BEFORE_A_CALL = {"", ";", "{", "}", "(", "=", "return", "await", "new", ".", "=>", "?", ":"}
_HOSTED = {"install", "LiveReloadConnect"}  # what only the worker and the preview listen to: never opened from disk


def _refused_from_disk(tokens: list[Token]) -> Iterator[tuple[int, str]]:
    hosted = any(token.kind == "string" and token.text in _HOSTED for token in tokens)
    for at, token in enumerate(tokens):
        last = tokens[at - 1].text if at else ""
        after = tokens[at + 1] if at + 1 < len(tokens) else Token("", "", 0)
        if token.kind != "word":
            continue
        if token.text in ("import", "export") and last not in (".", "?.") and after.text != ":":
            yield at, f"{token.text}: a page opened from disk has no modules"
        called = after.text == "(" and last in _BEFORE_A_CALL
        if token.text in _REFUSED and called and not hosted:
            yield at, f"{token.text}: refused on a page opened from disk"
        if token.text == "setAttribute" and [t.text for t in tokens[at + 1 : at + 3]] == ["(", "style"]:
            yield at, "a style attribute: refused by the page's own policy"


# ---- pages ----


def _without_jinja(text: str) -> str:
    def blank(found: re.Match[str]) -> str:
        return ("x" if found[0].startswith("{{") else "") + "\n" * found[0].count("\n")

    return re.sub(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", blank, text, flags=re.DOTALL)


def used_by_page(text: str) -> list[Use]:
    """Return the elements and attributes that a page or template uses."""
    reader = _PageReader()
    reader.feed(_without_jinja(text))
    return reader.uses


class _PageReader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.uses: list[Use] = []
        self.refused: list[tuple[int, str]] = []
        self.inner: list[tuple[int, str, Callable[[str], list[str]]]] = []
        self._open: Callable[[str], list[str]] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        line = self.getpos()[0]
        given = {name: value or "" for name, value in attrs}
        self.uses.append((line, "element", tag, False))
        self.uses += [(line, "attribute", name, False) for name in given]
        self.refused += [(line, why) for why in _refused_in(tag, given)]
        self._open = None
        if tag == "style":
            self._open = lint_style
        elif tag == "script" and "src" not in given and given.get("type", "") in ("", "text/javascript"):
            self._open = lint_script

    def handle_data(self, data: str) -> None:
        if self._open and data.strip():
            self.inner.append((self.getpos()[0], data, self._open))

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002
        self._open = None


def _refused_in(tag: str, given: dict[str, str]) -> Iterator[str]:
    if tag == "script" and given.get("type") in ("module", "importmap"):
        yield "script type=module: a page opened from disk has no modules"
    for name in ("integrity", "crossorigin"):
        if name in given and tag in ("script", "link"):
            yield f"{name}: fails on a page opened from disk"
    if tag == "use" and not given.get("href", "#").startswith("#"):
        yield "use of another file: fails on a page opened from disk"
    if tag in ("script", "img", "source", "link", "iframe", "video", "audio"):
        for name in ("src", "srcset", "href"):
            outside = re.match(r"(?:https?:)?//", given.get(name, ""))
            if outside and given.get("rel") not in ("canonical", "license", "alternate"):
                yield f"{tag} {name}: a request to the outside"
    if given.get("name") == "viewport" and re.search("user-scalable|maximum-scale", given.get("content", "")):
        yield "meta viewport: pinching to enlarge must stay possible"
    yield from (
        f"{name}: an inline handler, refused by the page's own policy"
        for name in given
        if re.fullmatch(r"on[a-z]+", name)
    )
    if "style" in given:
        yield "a style attribute: refused by the page's own policy"
