"""What is kept beside a guide between runs: never another word than without it, whatever was changed or lost."""

from __future__ import annotations

import io
import pathlib
import random
import re
import shutil
from argparse import Namespace
from collections.abc import Callable, Sequence
from typing import Any

import pytest

from guide.command import check, make
from guide.command.calls import Call
from guide.dating.building.build import build_model
from guide.facts.read import read_guide
from guide.facts.reads import MARKDOWN, Question, noting
from guide.facts.recall import Recall, unpacked
from guide.limits.derive import derive_limits
from guide.pages.shelf import Address, Page
from guide.press.kept import Kept
from guide.press.render import Renderer
from guide.press.theme import open_theme
from tests.conftest import ROOT
from tests.fuzz.kept import differing
from tests.starting import started
from tests.told import ENGLISH

PLAIN = open_theme()
STARTER = ROOT / "guide" / "command" / "starter"


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    return started(tmp_path)


def built(content: pathlib.Path, out: pathlib.Path, stop_on: str = "errors") -> tuple[int, str, dict[str, bytes]]:
    """Return the status, what is printed, and the site of a build into a folder."""
    printed = io.StringIO()
    status = make.run(Call(content=content, out=out, words=ENGLISH, printed=printed, stop_on=stop_on))
    site = {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}
    return status, printed.getvalue().replace(out.as_posix(), "out"), site


def checked(content: pathlib.Path, out: pathlib.Path, *, pages: bool = False) -> str:
    printed = io.StringIO()
    check.run(Call(content=content, out=out, words=ENGLISH, printed=printed, options=Namespace(pages=pages)))
    return printed.getvalue()


def changes() -> dict[str, Callable[[pathlib.Path, pathlib.Path], object]]:
    """What may have happened between two builds, by name: to the content, to what was made, to what is kept."""

    def in_file(name: str, old: str, new: str) -> Callable[[pathlib.Path, pathlib.Path], object]:
        def change(content: pathlib.Path, _: pathlib.Path) -> None:
            path = sorted(content.glob(name))[0]
            text = path.read_text(encoding="utf-8")
            assert old in text, path
            path.write_text(text.replace(old, new, 1), encoding="utf-8")

        return change

    def kept(out: pathlib.Path) -> pathlib.Path:
        return out.with_name(f".{out.name}.cache")

    return {
        "nothing": lambda _content, _out: None,
        "a title": in_file("guide.yml", "title: ", "title: Another "),
        "an edition": in_file("guide.yml", "edition: ", "edition: later "),
        "a drawing": in_file("pictures/*.svg", "<svg ", "<svg  "),
        "a mark taken out": lambda content, _: sorted((content / "marks").glob("*.yml"))[-1].unlink(),
        "an error": in_file("guide.yml", "format: 1", "format: 7"),
        "a page made by hand": lambda _, out: (out / "index.html").write_text("mine", encoding="utf-8"),
        "a page lost": lambda _, out: (out / "key.html").unlink(),
        "a file too many": lambda _, out: (out / "notes.txt").write_text("mine", encoding="utf-8"),
        "the guide lost": lambda _, out: shutil.rmtree(out),
        "all that was kept lost": lambda _, out: shutil.rmtree(kept(out)),
        "all that was kept spoilt": lambda _, out: [path.write_bytes(b"?\n?") for path in kept(out).iterdir()],
    }


def saved(content: pathlib.Path, pattern: str, old: str, new: str) -> str:
    """Save a change in the first file that has it; return its name."""
    for path in sorted(content.glob(pattern)):
        text = path.read_text(encoding="utf-8")
        if re.search(old, text):
            path.write_text(re.sub(old, new, text, count=1), encoding="utf-8")
            return path.relative_to(content).as_posix()
    raise AssertionError((pattern, old))


EVERYTHING = (  # a pattern of files, what stands there, what is saved instead: every kind of record and of text
    ("marks/*.yml", r"\Z", "\nabout: |\n  Look at it *well*.\n\nwear: |\n  It wears.\n"),
    ("marks/*.yml", "Look at it", "Look, please, at it\n\n  and"),
    ("marks/*.yml", "It wears", ""),
    ("marks/*.yml", "\nwear: ", "\ncaution: |\n  It is sharp.\n\nwear: "),
    ("marks/*.yml", "It is sharp", "It is very sharp"),
    ("marks/*.yml", "    name: ", "    about: |\n      A form with words.\n    name: "),
    ("marks/*.yml", "A form with words", "A form with other words"),
    ("areas.yml", "name: Cabin", "about: Where it is, name: Cabin"),
    ("areas.yml", "Where it is", "Where it is found"),
    ("interiors.yml", "name: Red", "about: As built, name: Red"),
    ("interiors.yml", "As built", "Built so"),
    ("sources.yml", "Cars that", "The cars that"),
    ("about.md", r"\A", "Said first.\n\n"),
    ("periods.yml", "name: Late", "about: A time, name: Late"),
    ("periods.yml", "A time", '"A fine time, [see](mark:nothing)"'),
    ("periods.yml", '"A fine .*?"', "A fine time"),
    ("words.yml", "means: Glass", "means: Clear glass"),
    ("care/lamps.yml", "cause: Damp", "cause: Always damp"),
    ("care/lamps.yml", "cautions: Lead", "cautions: The lead"),
    ("marks/*.yml", "look: ", "look: First, "),
    ("marks/door-handle.yml", "about January 1962", "about March 1962"),
    ("marks/roof-lamp.yml", "last: S598", "last: S601"),
    ("marks/roof-lamp.yml", "source: parts-list", "source: register"),
    ("marks/door-handle.yml", "seen: S571", "last: S571"),
    ("marks/door-handle.yml", "first: about March 1962", "first: 1961-12"),
    ("marks/roof-lamp.yml", r"      - {seen: S612, source: register}.*\n", ""),
    ("marks/door-handle.yml", r"(    stated:\n)", r"\1      - {first: start, source: register}\n"),
    ("marks/roof-lamp.yml", r"\Z", "\nrulings:\n  - {set aside: parts-list first S590, why: a slip, on: 2026-01-05}\n"),
    ("cars-seen/rallies.csv", "square", "round"),
    ("cars-seen/rallies.csv", r"\Z", "S640,yes,square,knob\n"),
    ("marks/*.yml", "survives: nearly all", "survives: few"),
    ("pictures/*.svg", "<svg ", "<svg  "),
    ("guide.yml", "edition: ", "edition: later "),
)
_MORE = {
    "cars-seen/rallies.csv": "car,untouched,roof-lamp,door-handle\nS575,yes,square,lever\nS630,no,square,knob\n",
    "words.yml": "lens:\n  word: Lens\n  means: Glass before a lamp.\n  marks: [roof-lamp]\n",
    "care/lamps.yml": "title: Lamps\nsummary: Keep them dry.\nmarks: [roof-lamp]\ncause: Damp.\nprevention: Air.\n"
    "repair: Dry it.\ncautions: Lead off first.\n",
}


def test_a_thing_changed_in_turn_makes_the_guide_that_is_made_afresh(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    """Everything that a page can read, one after the other, the guide before it being what is kept; and back again."""
    for name, text in _MORE.items():
        (content / name).parent.mkdir(exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")
    out, files = tmp_path / "out", {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    built(content, out)
    chance = random.Random(7)
    for at, change in enumerate((*EVERYTHING, None)):
        if change is None:
            for path, data in files.items():
                path.write_bytes(data)
        else:
            saved(content, *change)
        if change is None or at % 4 == 3 or chance.random() < 0.2:
            assert built(content, out) == built(content, tmp_path / f"afresh-{at}" / "out"), change


def test_a_text_changed_makes_only_what_shows_it(
    content: pathlib.Path, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, made = tmp_path / "out", list[str]()
    saved(content, "marks/*.yml", r"\Z", "\nabout: |\n  Look at it *well*.\n")
    built(content, out)
    render = Renderer.render

    def noted(self: Renderer, page: Page, address: Address) -> bytes:
        made.append(address.path)
        return render(self, page, address)

    monkeypatch.setattr(Renderer, "render", noted)
    name = saved(content, "marks/*.yml", "Look at it", "Look\n\n  at it")
    _, _, site = built(content, out)
    assert made == [name.replace(".yml", ".html"), "downloads.html"]
    assert b"<p>Look</p>" in site[made[0]]
    made.clear()
    saved(content, "marks/door-handle.yml", "about January 1962", "about March 1962")
    built(content, out)
    assert {"marks/door-handle.html", "timeline.html"} <= set(made), "what tells of it"
    assert not {"marks/roof-lamp.html", "words.html", "index.html"}.intersection(made), "and nothing else"
    made.clear()
    saved(content, "guide.yml", "title: ", "title: Another ")
    built(content, out)
    assert len(made) > 20, "what stands on every page makes every page anew"


def test_the_model_is_built_without_a_look_at_the_texts(content: pathlib.Path) -> None:
    guide = read_guide(content).guide
    assert guide is not None
    with noting() as read:
        build_model(guide, derive_limits(guide))
    assert not MARKDOWN.intersection(name for _, name in read)
    with noting() as read:
        assert guide.about
    assert list(read) == [(id(guide), "about")]


@pytest.mark.parametrize("name", changes())
def test_what_is_kept_changes_nothing(content: pathlib.Path, tmp_path: pathlib.Path, name: str) -> None:
    out = tmp_path / "out"
    built(content, out)
    changes()[name](content, out)
    again, afresh = built(content, out), built(content, tmp_path / "afresh" / "out")
    if afresh[0] == 0:
        assert again == afresh
    else:
        assert again[:2] == afresh[:2]  # a guide that cannot be made leaves the last one where it was
    assert checked(content, out) == checked(content, tmp_path / "nowhere")
    assert built(content, out) == again


def test_the_program_itself_is_part_of_what_a_thing_is_kept_under(
    content: pathlib.Path, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "kept"
    Kept(folder, content, PLAIN).put("said")
    assert Kept(folder, content, PLAIN).get(str) == "said"
    program = pathlib.Path(shutil.copytree(ROOT / "guide" / "words", tmp_path / "program"))
    monkeypatch.setattr("guide.press.kept._PACKAGE", program)
    Kept(folder, content, PLAIN).put("said")
    (program / "say.py").write_text("# another\n", encoding="utf-8")
    assert Kept(folder, content, PLAIN).get(str) is None


def test_what_stands_in_a_linked_folder_is_content_too(tmp_path: pathlib.Path, content: pathlib.Path) -> None:
    elsewhere = pathlib.Path(shutil.move(content / "marks", tmp_path / "elsewhere"))
    try:
        (content / "marks").symlink_to(elsewhere, target_is_directory=True)
        (elsewhere / "round").symlink_to(elsewhere, target_is_directory=True)
    except OSError:
        pytest.skip("this system makes no links")
    kept = Kept(tmp_path / "kept", content, PLAIN)
    assert kept.is_of(content, PLAIN)
    (elsewhere / "roof-lamp.yml").write_text("name: saved\n", encoding="utf-8")
    assert not kept.is_of(content, PLAIN)


def test_what_was_saved_while_a_guide_was_made_is_not_kept_as_that_guide(
    content: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    kept = Kept(tmp_path / "kept", content, PLAIN)
    assert kept.is_of(content, PLAIN)
    (content / "guide.yml").write_text("title: saved meanwhile\n", encoding="utf-8")
    assert not kept.is_of(content, PLAIN)


def test_looking_at_the_facts_finds_what_the_pages_would(content: pathlib.Path, tmp_path: pathlib.Path) -> None:
    path = sorted((content / "marks").glob("*.yml"))[0]
    text = path.read_text(encoding="utf-8")
    faults = "[a](mark:nothing) ![](gone.svg) [b](ftp://x)\n\n  | a |\n  |---|\n  | b | c |"
    path.write_text(f"{text}\nwear: |\n  {faults}\n", encoding="utf-8")
    said = checked(content, tmp_path / "out", pages=True)
    assert checked(content, tmp_path / "out") == said
    for code in ("link-dangling", "text-picture-missing", "picture-without-words", "link-refused", "table-cells-lost"):
        assert f"({code})" in said


def test_what_limits_and_pages_remember_passes_on_what_was_read_for_it() -> None:
    """Else a page would be kept that rests on what another had looked up before it (`guide.facts.reads`)."""
    remembering = re.compile(r"lru_cache|@cache|cached_property|\.known\[|\.known\.(get|setdefault)\(")
    found = {
        path.relative_to(ROOT).as_posix()
        for stage in ("limits", "tally", "pages")
        for path in (ROOT / "guide" / stage).rglob("*.py")
        if remembering.search(path.read_text(encoding="utf-8"))
    }
    # What makes names of names, words of words, figures of figures rests on them alone; ties are made before any limits
    # are; the others are the mechanism.
    assert found == {
        "guide/limits/ties.py",
        "guide/tally/single_change.py",
        "guide/tally/survival.py",
        "guide/pages/parts/naming.py",
        "guide/pages/parts/search.py",
        "guide/pages/parts/expected.py",
        "guide/pages/shelf.py",
    }


class Audited(Recall):
    """Has everything worked out, and holds it to what would have been recalled, and to itself where it is asked twice.

    ``audited``: how often that was looked at."""

    audited = 0

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.new = Audit(super().held, self.others)

    def held(self, _question: Question) -> None:
        return None


class Audit(dict[Question, Any]):
    def __init__(self, held: Callable[..., Any], others: Callable[[Sequence[int]], list[int]]) -> None:
        self._held, self._others = held, others

    def __setitem__(self, question: Question, now: Any) -> None:
        assert self.get(question, now) == now, f"{question} is not one question"
        super().__setitem__(question, now)
        held = self._held(question)
        if held is not None and now.each == held.each:
            was, found = (unpacked(one.found) if one.each else one.found for one in (held, now))
            for at in self._others(now.each):
                was[at] = found[at]
            assert was == found, question
            Audited.audited += 1


def test_what_is_recalled_is_what_would_be_worked_out(
    content: pathlib.Path, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("guide.press.printed.Recall", Audited)
    for name, text in _MORE.items():
        (content / name).parent.mkdir(exist_ok=True)
        (content / name).write_text(text, encoding="utf-8")
    built(content, tmp_path / "out")
    saved(content, "marks/door-handle.yml", "about January 1962", "about March 1962")
    assert built(content, tmp_path / "out")[0] == 0
    assert Audited.audited > 30


@pytest.mark.proof
def test_changes_drawn_by_lot_make_the_guide_that_is_made_afresh() -> None:
    assert differing(8, 3, "XS", lambda _: None) == 0
