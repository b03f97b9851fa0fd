"""The single file stands alone; the archive is the folder, the same each time; the worker keeps all but both copies."""

from __future__ import annotations

import base64
import hashlib
import io
import pathlib
import re
import shutil
import zipfile
from typing import Any

import pytest

from guide.dating.belief.evidence import Session
from guide.pages.kinds.downloads import FOR_PROGRAMS
from guide.press.archive import ARCHIVE, zip_of
from guide.press.offline import EDITION, SPARED, mark_of, unmarked
from guide.press.single_file import SINGLE, SingleFile
from guide.press.theme import Theme, open_theme
from guide.tally.count import derive_tally
from tests.dating.asking import key_of
from tests.pages.shelves import shelf_of
from tests.told import ENGLISH

PLAIN = open_theme()


@pytest.fixture(scope="module")
def single(built_guide: pathlib.Path) -> str:
    return (built_guide / SINGLE).read_text(encoding="utf-8")


def test_it_fetches_nothing(single: str) -> None:
    assert re.findall(r'<(?:script|img|iframe|source)[^>]* src="(?!data:)', single) == []
    assert re.findall(r'<link[^>]* href="(?!data:)', single) == []
    assert "@import" not in single
    assert re.findall(r'href="(?!#|https?:|mailto:|data:)([^"]+)"', single) == [], "no link leads out of it"


def test_its_policy_allows_its_own_scripts_and_styles_alone(single: str) -> None:
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', single)
    assert policy is not None
    allowed = policy[1].replace("&#39;", "'")
    for kind in ("script", "style"):
        for text in re.findall(rf"<{kind}>(.*?)</{kind}>", single, re.DOTALL):
            digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
            assert f"'sha256-{digest}'" in allowed
    assert "unsafe" not in allowed
    assert "default-src 'none'" in allowed


def test_every_link_inside_leads_somewhere(single: str) -> None:
    ids = set(re.findall(r' id="([^"]+)"', single))
    body = re.sub(r"<script>.*?</script>", "", single, flags=re.DOTALL)
    links = set(re.findall(r'href="#([^"]*)"', body))
    assert links - ids == set()
    assert len([identity for identity in ids if identity.startswith("mark-")]) >= 30


@pytest.fixture
def toy(tmp_path: pathlib.Path) -> pathlib.Path:
    """A theme that calls its styles otherwise, adds a class to main and has no page for the tally."""
    theme = tmp_path / "toy"
    shutil.copytree(PLAIN.layers[0], theme)
    for path in sorted((theme / "style").iterdir()):
        path.rename(path.with_name(f"toy-{path.name}"))
    for path in sorted((theme / "pages").iterdir()):
        text = path.read_text(encoding="utf-8").replace("style/", "style/toy-")
        path.write_text(text.replace('<main id="main"', '<main class="toy" id="main"'), encoding="utf-8")
    (theme / "pages" / "tally.html").unlink()
    return theme


def carried(theme: pathlib.Path, shelf: Any, built: pathlib.Path) -> tuple[str, list[str]]:
    """Return the single file that a theme makes, and what is wrong with it."""
    site = {path.relative_to(built).as_posix(): path.read_bytes() for path in built.glob("data/*")}
    site |= Theme((theme,)).styles()
    renderer = SingleFile(shelf, Theme((theme,)), None, None, site)
    made = renderer.files()
    return made[SINGLE].decode(), [finding.line(ENGLISH) for finding in renderer.findings]


def test_a_theme_of_its_own_carries_key_and_card_whole(
    guide: Any, limits: Any, model: Any, toy: pathlib.Path, single: str, built_guide: pathlib.Path
) -> None:
    shelf = shelf_of(guide, limits, model, derive_tally(limits, key_of(model)))
    made, findings = carried(toy, shelf, built_guide)
    assert findings == []
    assert '<main class="toy"' in made
    site = {EDITION: (built_guide / EDITION).read_bytes()}
    assert made.replace(' class="toy"', "") == unmarked(SINGLE, single.encode(), mark_of(site)).decode(), (
        "names of styles and a class change nothing of what is in it"
    )


def test_where_room_is_short_the_least_telling_parts_are_told_in_words_alone(
    guide: Any, limits: Any, model: Any, built_guide: pathlib.Path, single: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The parts that the key asks first keep their drawings; the file says of how many there are none."""
    most = len(single.encode()) - 60_000
    monkeypatch.setattr("guide.press.single_file.MOST_BYTES", most)
    shelf = shelf_of(guide, limits, model, derive_tally(limits, key_of(model)))
    made, findings = carried(PLAIN.layers[0], shelf, built_guide)
    assert findings == []
    assert most - 60_000 < len(made.encode()) <= most, "no more is left behind than has to be"
    drawn = {mark.id for mark in guide.marks.values() if re.search(rf'data-drawing="{mark.id}/[^"]+"><svg', made)}
    left = len(guide.marks) - len(drawn)
    assert 0 < left < len(guide.marks)
    assert f"It has no room for the drawings of {left} parts" in made
    assert "It has no room" not in single
    looks = key_of(model).dated(Session(reach=tuple(model.reaches))).looks
    gains = {model.marks[look.mark].id: round(look.gain_bits, 6) for look in looks}
    least = min(gains.get(mark, 0.0) for mark in drawn)
    assert all(gains.get(mark, 0.0) <= least for mark in guide.marks if mark not in drawn)


@pytest.mark.parametrize(
    ("template", "old", "new", "found"),
    [
        ("single.html", "style/toy-look.css", "gone.css", "single.html:4:1: {}there is no file 'gone.css' to put in"),
        ("single.html", 'scripts("light")', 'scripts("lamp")', "single.html:5:1: {}there is no script 'lamp'"),
        (
            "single.html",
            "id=\"{{ anchor('card') }}\"",
            "",
            "single.html:1:1: {}there is no part 'card' for a link to lead to",
        ),
        (
            "card-body.html",
            "to('period', period.id)",
            "to('area')",
            "card-body.html:52:1: {}there is no page 'area' '' to link to",
        ),
        ("key-body.html", "", None, "single.html:20:1: {}there is no template 'key-body.html'"),
    ],
)
def test_what_a_theme_leaves_out_is_a_finding(
    guide: Any,
    limits: Any,
    model: Any,
    toy: pathlib.Path,
    built_guide: pathlib.Path,
    template: str,
    old: str,
    new: str | None,
    found: str,
) -> None:
    path = toy / "pages" / template
    if new is None:
        path.unlink()
    else:
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")
    _, findings = carried(toy, shelf_of(guide, limits, model), built_guide)
    head = "error: expected a template that can be filled in, found: "
    assert findings == [f"toy/pages/{found.format(head)}"]


def test_each_drawing_stands_in_it_once(single: str, built_guide: pathlib.Path) -> None:
    assert single.count("<symbol ") >= 80
    shapes = re.findall(r"<symbol [^>]*>(.*?)</symbol>", single, re.DOTALL)
    assert len(shapes) == len(set(shapes))
    assert len(single.encode()) < (built_guide / "fits.html").stat().st_size + 600_000


def test_the_archive_holds_the_folder_and_is_the_same_each_time(built_guide: pathlib.Path) -> None:
    with zipfile.ZipFile(built_guide / ARCHIVE) as archive:
        names = {name.removeprefix("guide/") for name in archive.namelist()}
        assert archive.read("guide/index.html") == (built_guide / "index.html").read_bytes()
    files = {path.relative_to(built_guide).as_posix() for path in built_guide.rglob("*") if path.is_file()}
    assert names == files - {ARCHIVE, ".running-change"}
    site = {"b.html": b"two", "a.html": b"one"}
    first, second = zip_of(site)[ARCHIVE], zip_of(dict(reversed(site.items())))[ARCHIVE]
    assert first == second
    assert zipfile.ZipFile(io.BytesIO(first)).namelist() == ["guide/a.html", "guide/b.html"]


def test_the_worker_keeps_all_but_the_copies(built_guide: pathlib.Path) -> None:
    text = (built_guide / "worker.js").read_text(encoding="utf-8")
    kept = dict(re.findall(r'"([^"]+)":"([0-9a-f]{32}|)"', text.split("\n")[1]))
    files = {path.relative_to(built_guide).as_posix() for path in built_guide.rglob("*") if path.is_file()}
    assert set(kept) == files - {"worker.js", EDITION, ".running-change", *SPARED, *FOR_PROGRAMS}
    pictures = {name: digest for name, digest in kept.items() if digest}
    assert pictures.keys() == {name for name in kept if name.endswith((".png", ".svg", ".jpg"))}
    for name, digest in pictures.items():
        assert hashlib.sha256((built_guide / name).read_bytes()).hexdigest()[:32] == digest
