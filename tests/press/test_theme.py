"""Themes lie one upon another: a folder holds only what differs, and the rest comes from beneath."""

from __future__ import annotations

import io
import json
import pathlib
import shutil
from collections.abc import Mapping

import pytest
from PIL import Image

from guide.command.work import begin_guide
from guide.press import theme as themes
from guide.press.cache import Cache
from guide.press.make import Making
from guide.press.theme import Theme, open_theme
from tests.starting import started
from tests.told import ENGLISH

BLOCK = '{% extends "shell.html" %}\n{% block foot %}\n<footer>Ours.</footer>\n{% endblock %}\n'


def making(tmp_path: pathlib.Path, files: Mapping[str, str], named: str = "") -> tuple[Making | None, list[str]]:
    """Return the small guide in the making with these files in its own folder ``theme/``, and what is found."""
    content = started(tmp_path, {})
    for name, text in files.items():
        path = content / "theme" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    worked, made = begin_guide(content, open_theme(named, content), Cache(None))
    return made, [finding.line(ENGLISH) for finding in worked.findings]


def page(made: Making | None, name: str) -> str:
    """Return a page of a guide in the making."""
    data = made.get(name) if made else None
    assert isinstance(data, bytes)
    return data.decode()


def test_one_block_of_one_template_is_enough(tmp_path: pathlib.Path) -> None:
    made, found = making(tmp_path, {"pages/shell.html": BLOCK})
    assert found == []
    for name in ("about.html", "marks/roof-lamp.html"):
        text = page(made, name)
        assert "<footer>Ours.</footer>" in text
        assert "running-foot" not in text
        assert "running-head" in text


def test_a_sheet_of_properties_is_added_after_the_one_beneath(tmp_path: pathlib.Path) -> None:
    made, found = making(tmp_path, {"style/look.css": ":root { --day-mark: #005533; }\n"})
    assert found == []
    plain = themes.open_theme().styles()["style/look.css"].decode()
    assert page(made, "style/look.css") == plain + "\n:root { --day-mark: #005533; }\n"


def test_comments_and_indents_of_a_sheet_stay_at_home_but_what_only_looks_like_one(tmp_path: pathlib.Path) -> None:
    sheet = """/* ours,
      and nobody's else */
:root {
  /* of two lines: "
     it's one */
  --a: "x /* no */ y"; --b: url(data:a/*b*/c); --c: a/**/b;
}
p { content: '\\'/*'; } /* the end */
"""
    made, _ = making(tmp_path, {"style/look.css": sheet})
    assert page(made, "style/look.css").endswith(
        """
:root {
--a: "x /* no */ y"; --b: url(data:a/*b*/c); --c: a b;
}
p { content: '\\'/*'; }  \n"""
    )


def test_a_script_takes_the_place_of_the_one_beneath(tmp_path: pathlib.Path) -> None:
    made, found = making(tmp_path, {"scripts/print.js": "guide.mine = 1;\n"})
    assert found == []
    assert "guide.mine = 1;" in page(made, "scripts/print.js")


@pytest.mark.parametrize(
    ("files", "says"),
    [
        (
            {"pages/shell.html": BLOCK.replace("block foot", "block foots")},
            "theme/pages/shell.html:2:1: error: expected a template that can be filled in, found: "
            "no block 'foots' in what the template extends, but a block 'foot'",
        ),
        (
            {"pages/start.html": '{% extends "field.html" %}\n\n{% block sidebar %}{% endblock %}\n'},
            "theme/pages/start.html:3:1: error: expected a template that can be filled in, found: "
            "no block 'sidebar' in what the template extends",
        ),
        (
            {"theme.yml": "# ours\ninherits: plane\n"},
            "theme/theme.yml:2:1: error: expected the name of a theme, found 'plane'",
        ),
        ({"theme.yml": "colour: red\n"}, "theme/theme.yml:1:1: error: expected 'inherits: NAME', found 'colour: red'"),
        (
            {"scripts/say.js": "mine;\n"},
            "theme/scripts/say.js:1:1: error: expected a name that none of the guide's own scripts ",
        ),
    ],
    ids=["block", "block-of-nothing", "unknown", "line", "script"],
)
def test_what_cannot_be_used_is_told_with_its_place(
    tmp_path: pathlib.Path, files: Mapping[str, str], says: str
) -> None:
    made, found = making(tmp_path, files)
    assert made is None
    assert [line[: len(says)] for line in found] == [says]


def test_the_theme_for_the_field_builds_every_page_and_holds_only_what_differs(tmp_path: pathlib.Path) -> None:
    made, found = making(tmp_path, {}, named="field")
    assert made is not None
    assert found == []
    site = made.whole()
    assert made.findings == ()
    key = site["key.html"].decode()
    assert key.index("</main>") < key.index("within-reach") < key.index("data-back") < key.index("data-sun")
    assert json.loads(site["manifest.webmanifest"])["background_color"] == "#ffffff"
    assert '<meta name="theme-color" content="#000000" media="(prefers-color-scheme: dark)">' in key
    lines = [line for path in (themes.THEMES / "field").rglob("*.*") for line in path.read_text("utf-8").splitlines()]
    assert 20 < len(lines) < 200


def test_a_logo_an_icon_and_a_picture_for_sharing_are_shown_without_what_hides_in_them(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {})
    own = content / "theme"
    own.mkdir()
    (own / "logo.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>\n', encoding="utf-8")
    (own / "style").mkdir()
    (own / "style/look.css").write_text(":root { --day-paper: #EEFFEE; }\n", encoding="utf-8")
    hidden = Image.Exif()
    hidden[0x010E] = "the garage behind the church"
    Image.new("RGB", (700, 700), "teal").save(own / "icon.png", exif=hidden)
    Image.new("RGB", (2400, 1260), "teal").save(own / "sharing.jpg", exif=hidden, comment=b"the garage")
    worked, made = begin_guide(content, open_theme("", content), Cache(None))
    assert made is not None
    assert [finding.line(ENGLISH) for finding in worked.findings] == []
    site = made.whole()
    sizes = {name: Image.open(io.BytesIO(data)).size for name, data in site.items() if name.endswith((".png", "g.jpg"))}
    assert sizes == {
        "icons/guide-48.png": (48, 48),
        "icons/guide-192.png": (192, 192),
        "icons/guide-512.png": (512, 512),
        "icons/sharing.jpg": (1200, 630),
    }
    assert [name for name, data in site.items() if b"garage" in data and name != "guide.zip"] == []
    assert '<img class="logo" src="../icons/logo.svg" alt="">' in site["marks/roof-lamp.html"].decode()
    assert json.loads(site["manifest.webmanifest"])["theme_color"] == "#eeffee"


def test_a_new_block_within_one_that_is_there_is_the_templates_own_affair(tmp_path: pathlib.Path) -> None:
    inner = BLOCK.replace("<footer>Ours.</footer>", "{% block ours %}Ours.{% endblock %}")
    made, found = making(tmp_path, {"pages/shell.html": inner})
    assert found == []
    assert "Ours." in page(made, "about.html")


def test_themes_lie_upon_one_another_until_plain(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Upon one that lies upon another; two that name each other are told and end with plain."""
    folder = tmp_path / "themes"
    shutil.copytree(themes.THEMES / "plain" / "style", folder / "plain" / "style")
    for name, upon in (("large", "plain"), ("club", "large"), ("this", "that"), ("that", "this")):
        (folder / name / "style").mkdir(parents=True)
        (folder / name / "theme.yml").write_text(f"inherits: {upon}\n", encoding="utf-8")
    monkeypatch.setattr(themes, "THEMES", folder)
    assert themes.themes_known() == ["club", "large", "plain", "that", "this"]
    assert [layer.name for layer in open_theme("club").layers] == ["club", "large", "plain"]
    circle: Theme = open_theme("this")
    assert [layer.name for layer in circle.layers] == ["this", "that", "plain"]
    assert [finding.line(ENGLISH) for finding in circle.findings] == [
        "this/theme.yml:1:1: error: expected a theme that lies upon another, but this lies upon itself in the end"
    ]
    own = tmp_path / "content" / "theme"
    own.mkdir(parents=True)
    (own / "theme.yml").write_text('inherits: "club"   # and so large\n', encoding="utf-8")
    assert [layer.name for layer in open_theme("", own.parent).layers] == ["theme", "club", "large", "plain"]
    assert [layer.name for layer in open_theme("large", own.parent).layers] == ["theme", "large", "plain"]
