"""The proof that every word of the program stands in the words folder: in a made-up language all of it is bracketed.

Outside brackets stand only the guide's own words (whatever is in the content folder), ids, keys, codes, numbers, and
what is told why beside it.
"""

from __future__ import annotations

import errno
import io
import json
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout, suppress
from enum import StrEnum
from pathlib import Path
from typing import Any

import livereload
import pytest
from tornado import web

from guide.command.converse import converse
from guide.command.documents import HANDBOOK
from guide.command.main import main
from guide.command.start import STARTER
from guide.command.work import work_out
from guide.constants import CONSTANTS
from guide.dating.belief.evidence import Session
from guide.facts import types
from guide.facts.bones import outline_of
from guide.facts.read import read_guide
from guide.facts.text.folder import ROOT_FILES, SUBFOLDERS
from guide.facts.types import Reach
from guide.finding import CODES
from guide.pages.parts.letter_lines import DEPTHS
from guide.pages.parts.wording import licence_said
from guide.press.fingerprint import fingerprint_of
from guide.press.told_findings import findings_page
from guide.words import languages as spoken
from guide.words import say
from tests.browser.site import go, open_page
from tests.words.bracketed import LANGUAGE, OwnWords, loose, loose_in_page, outside, write_language

pytestmark = pytest.mark.long

ROOT = Path(__file__).resolve().parents[2]


def _is_choice(kind: object) -> bool:
    return isinstance(kind, type) and issubclass(kind, StrEnum) and len(kind) > 0


BAD = {
    stage: sorted(path for path in (ROOT / "tests" / stage / "bad").iterdir() if path.is_dir())
    for stage in ("facts", "limits", "checks")
}
BENEATH = {"facts": ROOT / "tests" / "facts" / "small", "limits": STARTER, "checks": STARTER}
# What may be typed into a file: keys, the words that can stand after some, and the codes of findings.
TYPED = re.findall(r"`([^`]+)`", (HANDBOOK / "keys.md").read_text(encoding="utf-8"))
KEYS = {
    *CODES,
    *CONSTANTS,
    *TYPED,
    *(*ROOT_FILES, *SUBFOLDERS, *SUBFOLDERS.values(), "en-GB"),
    *re.findall(r"[\w-]+", " ".join(TYPED)),
    *(name.partition("_")[2].replace("_", " ") for name in CONSTANTS if name.startswith("survives_")),
    *(one.value.replace("_", " ") for kind in vars(types).values() if _is_choice(kind) for one in kind),
}
# What the program makes of something typed: a text without the sign that no screen shows, an id, a file's name.
MADE = {
    "a-line-without-colon": ("effort", "effort: twice"),  # the line as it is to be written
    "a-comma-lost-in-braces": ("Early from:", "Early, from:"),
    "a-hidden-character": ("Small switches",),
    "ids-that-cannot-be": ("parts-list",),
    "totals-that-do-not-add-up": ("door-handle-chrome.svg",),
    "names-that-are-not-read": ("horn-push", ".txt"),
    "a-car-of-days-when-nothing-was-built": ("August",),  # a statement quoted as it was typed
    "assembled-without-its-span": ("{series: coupe, market: [home, continent]}",),  # as it may be typed
    # A ruling as it may be typed: around the statement's name, which is quoted in it.
    "ends-that-differ": ("ruling: {set aside: ", ", why: not borne out elsewhere, on: 2026-01-31}"),
    # The words offered in place of what was noted, and what is read of a file of JSON.
    "cars-as-people-note-them": ("cannot-tell, changed, none", "cannot-tell", "changed", "toggle+rocker", "wheel"),
    "papers-with-issues": ("Club newsletter 3",),  # an issue is called after its paper and its number
    "scans-and-issues-without-use": ("Club newsletter 3",),
}
_PLACE = re.compile(r"^\s*\S+:\d+:\d+: ")
Told = Callable[..., list[str]]


@pytest.fixture(scope="module", autouse=True)
def words(tmp_path_factory: pytest.TempPathFactory) -> Iterator[say.Words]:
    """The made-up language, found by the ordinary loader."""
    folder = tmp_path_factory.mktemp("languages")
    write_language(folder)
    spoken.FOLDERS.append(folder)
    say.load_words.cache_clear()
    yield say.load_words(LANGUAGE)
    spoken.FOLDERS.remove(folder)
    say.load_words.cache_clear()


def _in_that_language(folder: Path) -> Path:
    path = folder / "guide.yml"
    text, count = re.subn(r"(?m)^language: .*$", f"language: {LANGUAGE}", path.read_text(encoding="utf-8"))
    assert count == 1, "guide.yml names its language once"
    path.write_text(text, encoding="utf-8")
    for path in folder.rglob("*.yml"):  # what is given in two languages: its English is that language then
        text = re.sub(r"(?m)(^ +(?:- )?|\{)en: ", rf"\1{LANGUAGE}: ", path.read_text(encoding="utf-8"))
        path.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def content(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo guide, which says that it is in that language."""
    folder = tmp_path_factory.mktemp("bracketed") / "content"
    shutil.copytree(root / "content", folder)
    return _in_that_language(folder)


@pytest.fixture(scope="module")
def own(content: Path) -> OwnWords:
    # Of CX4, masked, two letters stay. The licence is named as its own notice writes it, in every language.
    guide = read_guide(content).guide
    assert guide is not None
    return OwnWords(content, further=("CX", licence_said("CC-BY-SA-4.0"), fingerprint_of(outline_of(guide)), *CODES))


@pytest.fixture(scope="module")
def built(content: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The demo guide as it is built in that language, and what was said of it."""
    out, said = tmp_path_factory.mktemp("bracketed-site") / "out", io.StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        assert main(["--content", str(content), "--out", str(out)]) == 0
    return out, said.getvalue()


@pytest.fixture(scope="module")
def site(built: tuple[Path, str]) -> Path:
    """The demo guide as it is built in that language."""
    return built[0]


def test_a_word_outside_brackets_is_noticed(own: OwnWords) -> None:
    said = '<p title="from here">⟦Looks⟧ or Small switches ⟦told⟧</p><p>Switches, 3, C1840</p><p>⟦half</p>'
    assert loose_in_page(said, own) == ["from here", "or Small switches", "⟦half"]
    assert loose("⟦Looks⟧: or Small switches\nC1840, 'switches'", own) == [": or Small switches"]


def test_no_page_says_a_word_of_the_program_s_own_accord(site: Path, own: OwnWords) -> None:
    found: dict[str, str] = {}
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 200
    for path in pages:
        for piece in loose_in_page(path.read_text(encoding="utf-8"), own):
            found.setdefault(piece, path.relative_to(site).as_posix())
    assert found == {}


@pytest.fixture
def told(content: Path, own: OwnWords, capsys: pytest.CaptureFixture[str]) -> Told:
    """Call the command line on that guide and return what it says outside brackets."""

    def call(*arguments: str, status: int = 0, at: Path = content) -> list[str]:
        capsys.readouterr()
        with suppress(SystemExit):  # how the library ends after its help
            assert main([*arguments, "--content", str(at)]) == status
        said = capsys.readouterr()
        assert said.out + said.err
        return loose(said.out + said.err, own)

    return call


_OF_EDITORS = ("tally", "disclosed", "sent", "handing-over", "back", "publish", "start", "help", "rename")
CALLS = ("check", "preview", "ask", "letter", "untranslated", *_OF_EDITORS)
# What may be typed stands in help and complaints as it is typed.
_TYPED = re.compile(r"python (?:build\.py|-m guide)[^⟦]*|(?<![\w-])--?[a-z][a-z-]*")


@pytest.mark.parametrize("word", ["", *CALLS])
def test_help_is_all_in_the_guide_s_language(content: Path, capsys: pytest.CaptureFixture[str], word: str) -> None:
    with pytest.raises(SystemExit):
        main([*filter(None, (word, "--content", str(content), "--help"))])
    said = _TYPED.sub("", " ".join(capsys.readouterr().out.split()))
    known = {*"-".join(CALLS).split("-"), "errors", "warnings", *spoken.languages(), *(reach.value for reach in Reach)}
    known |= {*DEPTHS}
    assert {one for piece in outside(said) for one in re.findall(r"[^\W\d_]+", piece)} <= known


@pytest.mark.parametrize(
    "arguments",
    [
        ("chek",),
        ("wash",),
        ("--stop-on", "notes"),
        ("start",),
        ("check", "--out"),
        ("preview", "--port", "x"),
        ("--json=yes",),
        ("--thme", "plain"),
        ("--theme", "none"),
        ("ask", "switches"),
        ("ask", "swiches=toggle"),
        ("ask", "switches=x"),
        ("ask", "nothing=x"),
        ("ask", "switches=toggle", "switches=rocker"),
        ("ask", "--reach", "roof"),
        ("ask", "--known", "sold=1968"),
        ("ask", "--known", "registered=spring"),
        ("ask", "--known", "registered"),
        ("ask", "--many", "nowhere.jsonl"),
        ("ask", "--many", str(ROOT / "pyproject.toml")),
        ("ask", "--many", "x", "--car", "C1912"),
    ],
    ids=" ".join,
)
def test_a_call_that_is_off_is_told_so_in_the_guide_s_language(told: Told, arguments: tuple[str, ...]) -> None:
    typed = {part for argument in arguments for part in re.findall(r"[\w-]+", argument)}
    known = {*typed, *CALLS, "errors", "warnings", "field", "plain", "FOLDER", *(reach.value for reach in Reach)}
    known |= {
        "assembled",
        "registered",
        "despatched",
        "titled",
        "model-year",
        "restored",
        "yes",
        "answers",
        "car",
        "null",
        "project",
    }
    said = told(*arguments, status=2)
    words_said = [one for piece in said for one in re.findall(r"[\w-]+", _TYPED.sub("", piece))]
    assert [one for one in words_said if one not in known and not one.isdecimal()] == []


def test_no_content_folder_leaves_english() -> None:
    assert say.load_words().language == "en"


def test_check_and_the_build_speak_the_guide_s_language(
    told: Told, built: tuple[Path, str], own: OwnWords, tmp_path: Path
) -> None:
    out, said_of_it = built
    assert said_of_it
    assert [piece for piece in loose(said_of_it, own) if str(out) not in piece] == []
    assert told("check", "--out", str(out)) == []
    (tmp_path / "held").write_text("x", encoding="utf-8")
    small = _in_that_language(Path(shutil.copytree(STARTER, tmp_path / "small")))
    said = told("--out", str(tmp_path / "held"), status=1, at=small)
    assert [piece for piece in said if piece != "held" and str(tmp_path) not in piece] == []


def test_ask_speaks_the_guide_s_language(told: Told, site: Path) -> None:
    out = ("--out", str(site))  # which kept what is asked
    assert told("ask", *out, "switches=rocker", "tail-lamps=round", "--reach", "outside,glass") == []
    assert told("ask", *out, "--car", "C2933", "switches=changed") == []
    assert (
        told("ask", *out, "--car", "D744", "soft-top-window=zip", "belts=reel", "--known", "registered=1968-07") == []
    )
    assert told("ask", *out, "--edition", "0", "switches=toggle+rocker") == []
    for car in ("CX4", "K77", "x", "C1912"):
        assert told("ask", *out, "--car", car) == []


def test_the_conversation_speaks_the_guide_s_language(content: Path, own: OwnWords) -> None:
    key = work_out(content).key
    assert key is not None
    out = io.StringIO()
    typed = "1\nseven\n2\nback\nresult\n\nnone\n1+2\n" + "1\n" * 40
    assert converse(key, Session(answers=(), car=None, reach=("glass",), known={}), io.StringIO(typed), out) == 0
    assert [piece for piece in loose(out.getvalue(), own) if piece != "'seven"] == []  # as it was typed


def test_ask_for_machines_says_its_sentences_in_the_guide_s_language(
    content: Path, own: OwnWords, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert main(["ask", "--json", "--content", str(content), "switches=rocker", "--car", "D744"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert loose("\n".join(_sentences(said)), own) == []


def _sentences(value: Any) -> Iterator[str]:
    """Yield what is meant for people in a machine's answer: every text with a blank in it."""
    if isinstance(value, dict):
        value = list(value.values())
    for inner in value if isinstance(value, list) else ():
        yield from _sentences(inner)
    if isinstance(value, str) and " " in value:
        yield value


def test_start_writes_its_handbook_and_says_so_in_the_language(told: Told, tmp_path: Path) -> None:
    said = told("start", str(tmp_path / "new guide"))
    assert [piece for piece in said if "build.py" not in piece and str(tmp_path) not in piece] == []


@pytest.mark.parametrize("folder", [folder for bad in BAD.values() for folder in bad], ids=lambda bad: bad.name)
def test_every_finding_is_in_the_language(words: say.Words, folder: Path, tmp_path: Path) -> None:
    content = tmp_path / "content"
    shutil.copytree(BENEATH[folder.parents[1].name], content)
    shutil.copytree(folder, content, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt"))
    for gone in content.rglob("*.gone"):
        gone.with_suffix("").unlink()
        gone.unlink()
    own = OwnWords(content, further=(*KEYS, *MADE.get(folder.name, ())), broken=True)
    found = work_out(content).findings
    assert found
    said = [
        line for finding in found for line in finding.printed(words).splitlines() if line.strip() != finding.excerpt
    ]
    assert loose("\n".join(_PLACE.sub("", line) for line in said), own) == []


@pytest.mark.parametrize(("free", "status"), [(True, 0), (False, 2)], ids=["a port is free", "none is free"])
def test_the_preview_says_where_it_is_in_the_language(
    told: Told, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, free: bool, status: int
) -> None:
    """At a port that another program has, and of a guide that cannot be shown; nothing is served here."""

    def listen(_application: web.Application, port: int, address: str) -> None:  # noqa: ARG001  (as the library calls it)
        if port == 5500 or not free:
            raise OSError(errno.EADDRINUSE, "in use")

    monkeypatch.setattr(web.Application, "listen", listen)
    monkeypatch.setattr(livereload.Server, "serve", lambda server, port, host: server.application(port, host))
    broken = _in_that_language(Path(shutil.copytree(STARTER, tmp_path / "broken")))
    (broken / "care" / "x.yml").parent.mkdir(exist_ok=True)
    (broken / "care" / "x.yml").write_text("titel: x\n", encoding="utf-8")
    assert [piece for piece in told("preview", "--no-browser", status=status) if "127.0.0.1" not in piece] == []
    said = told("preview", "--no-browser", status=status, at=broken)
    typed = {"care/x.yml:1:1:", "titel: x", "'titel'"}  # where it stands, and as it was typed
    assert [piece for piece in said if "127.0.0.1" not in piece and piece not in typed] == []


def test_the_page_of_findings_is_in_the_language(words: say.Words, own: OwnWords) -> None:
    """What stands on it besides the findings, which are those of the terminal."""
    assert loose_in_page(findings_page((), words).decode(), own) == []


@pytest.mark.browser
@pytest.mark.parametrize(
    ("address", "typed"),
    [("key.html", ""), ("fits.html", "C1912"), ("search.html", "lamp"), ("record.html", ""), ("notes.html", "")],
)
def test_no_script_says_a_word_of_its_own_accord(
    chromium: Any, site: Path, own: OwnWords, address: str, typed: str
) -> None:
    """What the first thing to press brings up, eight times over, and what a number or a word typed does."""
    with open_page(chromium) as watched:
        page = watched.page
        go(page, site, address)
        if typed:
            page.locator("main input[type=text], main input[type=search], main textarea").first.fill(typed)
            page.keyboard.press("Enter")
        for _ in range(8):
            button = page.locator("main button:visible").first
            if button.count():
                button.click()
            assert loose_in_page(page.content(), own) == []
