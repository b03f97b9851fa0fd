"""All English stands in the words folder: none in code, none there for nothing, every slot of it filled."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from enum import StrEnum
from functools import cache
from pathlib import Path

import pytest

from guide.facts import types
from guide.facts.records.every import RECORDS
from guide.words.say import SLOT, load_words

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "guide"
FILES = sorted(GUIDE.rglob("*.py"))
TEMPLATES = load_words("en").templates
STAGES = {name.split(".")[0] for name in TEMPLATES}

# What is typed in the files of a guide: the keys of every record, and the words of every choice.
TYPED = {key.name for record in RECORDS for key in record.fields} | {
    str(word)
    for value in vars(types).values()
    if isinstance(value, type) and issubclass(value, StrEnum)
    for word in value
}
EXAMPLE = re.compile(r"(\w+: )?\{\w+: .*\}", re.DOTALL)  # of what is typed

# What else reads like English and is none of ours to say, by module: why, and how each begins.
EXEMPT: dict[str, tuple[str, tuple[str, ...]]] = {
    "command/calls.py": ("how the program is called, as it is typed", ("python build.py",)),
    "command/converse.py": ("what may be typed for an answer", ("cannot tell", "cant tell")),
    "command/main.py": (
        "commands, as they are typed",
        (
            "start my-guide",
            "help misread",
            "publish to-host",
            "ask switches",
            "ask --many",
            "letter C1912",
            "letter --many",
        ),
    ),
    "command/publish.py": ("headers as HTTP writes them", ("*.html", "pictures/*", "*.webmanifest", "*.js")),
    "command/from_table.py": ("facts as they are typed", ("kind: paper", "trust: fair")),
    "command/start.py": ("files of the new guide", ("@echo off", "Preview this guide")),
    "pages/parts/poster.py": ("the style of a drawing that stands alone", ("text{font:",)),
    "facts/records/marks.py": ("what is typed", ("nearly all",)),
    "facts/records/readers.py": ("what is typed", ("two thirds", "three quarters", "half a")),
    "facts/records/rivals.py": ("a ruling as it is typed", ("ruling: {set aside", '", why: ')),
    "facts/records/handbook_tables.py": (
        "what is typed, shown as examples",
        (
            "about ",
            "probably ",
            "model year ",
            "by June",
            "from June",
            "before ",
            "after ",
            "between ",
            "start of restart",
        ),
    ),
    "facts/text/meant.py": (
        "what is typed by mistake, and what it means",
        (
            "in out,",
            "open door",
            "alt text",
            "alternative text",
            "engine bay",
            "as built",
            "spare part",
            "almost all",
            "nearly all",
            "very ",
            "right hand drive",
            "left hand drive",
            "tür door",
            "fast alle",
            "nahezu alle",
            "die ",
            "etwa die",
            "von aussen",
            "durch die scheibe",
            "durchs fenster",
        ),
    ),
    "facts/when/dates_in_words.py": (
        "months as other languages have them",
        (
            "januar ",
            "februar ",
            "marz ",
            "april ",
            "mai ",
            "juni ",
            "juli ",
            "august ",
            "septem",
            "oktober ",
            "novem",
            "dezem",
        ),
    ),
    "facts/text/parser_faults.py": (
        "what the YAML parsers say, which is looked for and never shown",
        ("quoted scalar", "mapping values", "block scalar", "simple key", "could not find", "document start"),
    ),
    "finding.py": (
        "codes of findings, many to a line",
        (
            *("no-guide", "invisible-", "calendar-", "statements-", "ruling-", "outside-", "same-", "one-form-"),
            "seen-not-",
            *("out-not-", "picture-un", "picture-mis"),
        ),
    ),
    "pages/kinds/walkround.py": ("a style", ("::after {",)),
    "pages/parts/band.py": ("names of styles", ("band row",)),
    "pages/parts/search.py": ("what an English search passes over", ("a an and",)),
    "press/moved.py": ("what Apache reads", ("RewriteEngine On",)),
    "press/single_file.py": ("a policy for the browser", ("img-src data",)),
    "press/offline.py": ("JavaScript", ("const EDITION", ";\nconst FILES", "const WRONG")),
    "press/preview.py": ("kinds of files", ("text/javascript", "text/html", "text/css")),
    "press/told_findings.py": ("styles", ("body {", ".preview-strip", "preview-strip broken")),
    "press/publish.py": ("how a later build knows a folder of ours, in whatever language", ("This folder was made",)),
    "press/scripts.py": ("JavaScript, and what a script says to us of itself", ("(function (guide)", "by itself")),
}
TWO_WORDS = re.compile(r"[A-Za-z]{2,}[,.;:]? +[A-Za-z]+\b")
MARKUP = re.compile(r"<[^<>]*>?|^\W*>")
PATTERN = re.compile(r"\(\?|\\[dsSw]|\.\+|\(\.\*")  # signs that only a regular expression has


def stage_of(path: Path) -> str:
    return path.relative_to(GUIDE).parts[0]


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def english(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The texts of a module in which words follow one another, with their lines.

    Left out are docstrings, markup, regular expressions, and asserts and raises, which show faults of the program.
    """
    aside: set[int] = set()
    for node in ast.walk(tree):
        pattern = isinstance(node, ast.Call) and ast.unparse(node.func).startswith("re.")
        if pattern or isinstance(node, ast.Assert | ast.Raise):
            aside |= {id(inner) for inner in ast.walk(node)}
        elif isinstance(node, ast.Expr):
            aside.add(id(node.value))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in aside:
            text = MARKUP.sub("", node.value).strip()
            yield from [(node.lineno, text)] if TWO_WORDS.search(text) and not PATTERN.search(text) else []


@pytest.mark.parametrize("stage", sorted({stage_of(path) for path in FILES}))
def test_a_stage_holds_no_english(stage: str) -> None:
    said = []
    for path in (path for path in FILES if stage_of(path) == stage):
        name = path.relative_to(GUIDE).as_posix()
        _, begins = EXEMPT.get(name, ("", ()))
        texts = [
            (line, text) for line, text in english(parsed(path)) if text not in TYPED and not EXAMPLE.fullmatch(text)
        ]
        said += [f"{name}:{line}: {text}" for line, text in texts if not text.startswith(begins or "\0")]
        stale = [begin for begin in begins if not any(text.startswith(begin) for _, text in texts)]
        assert stale == [], f"{name}: exempt, and not there"
    assert said == []


def test_english_in_code_is_seen() -> None:
    code = '"""A docstring."""\nassert a, "not so"\nsay(f"found no {thing} here", "facts.id", "a-code", "key:")\n'
    assert [text for _, text in english(ast.parse(code))] == ["found no"]


def named(node: ast.expr) -> Iterator[str]:
    """The texts that an expression can be, where it is made of texts and conditions alone."""
    if isinstance(node, ast.IfExp):
        yield from (*named(node.body), *named(node.orelse))
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value


def calls() -> Iterator[tuple[str, ast.Call, str]]:
    """Yield every call that makes a sentence of an id that stands there: where, the call, and the id."""
    for path in FILES:
        for node in ast.walk(parsed(path)):
            if isinstance(node, ast.Call) and node.args:
                made = ast.unparse(node.func)
                if made in ("sentence", "Problem.of", "Finding.of") or made.endswith((".find", ".say")):
                    ids = (name for name in named(node.args[0]) if name.split(".")[0] in STAGES and "." in name)
                    yield from ((f"{path.relative_to(GUIDE)}:{node.lineno}", node, name) for name in ids)


def test_every_sentence_that_code_names_is_there_and_is_given_its_slots() -> None:
    wrong, found = [], list(calls())
    assert len(found) > 200, "the calls that make sentences are not found"
    for where, call, name in found:
        given = {word.arg.rstrip("_") for word in call.keywords if word.arg}
        of_finding = not ast.unparse(call.func).endswith(("sentence", ".say")) and "put_right" not in given
        for one in (name, f"{name}.put-right") if of_finding else (name,):
            if one not in TEMPLATES:
                wrong.append(f"{where}: {one} is not there")
            elif all(word.arg for word in call.keywords):
                lacking = {slot for slot, _ in SLOT.findall(TEMPLATES[one])} - given
                wrong += [f"{where}: {one} lacks {slot}" for slot in sorted(lacking)]
    assert wrong == []


@pytest.mark.parametrize(
    "stage", ["checks", "constants", "facts", "finding"]
)  # whose ids stand whole in code, or with one end open
def test_no_sentence_stands_there_for_nothing(stage: str) -> None:
    sources = [*FILES, *GUIDE.rglob("*.js"), *(ROOT / "themes").rglob("*.html"), *(ROOT / "themes").rglob("*.js")]
    text = "\n".join(path.read_text(encoding="utf-8") for path in sources)
    names = set(re.findall(rf"\b{stage}\.[a-z0-9_.-]+", text))
    begun = tuple(re.findall(rf"\b({stage}\.[a-z0-9_.-]+)(?=\{{)", text))
    said = {name if name in names else name.removesuffix(".put-right") for name in TEMPLATES}
    assert sorted(name for name in said - names if name.startswith(f"{stage}.") and not name.startswith(begun)) == []
