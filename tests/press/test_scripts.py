"""Scripts asked for by name: what one needs runs before it, a folder is one script, a taken name is a finding."""

from __future__ import annotations

import pathlib
import re
import shutil
from typing import Any

import pytest

from guide.pages.listing import FILES
from guide.press.make import make_site
from guide.press.scripts import BROWSER, DATA, Scripts, ThemeFault, output_name
from guide.press.theme import Theme, open_theme
from tests.dating.asking import key_of
from tests.pages.shelves import CONTENT, shelf_of
from tests.themes.javascript import tokens_of
from tests.told import ENGLISH, told

PLAIN = open_theme()


def theme_with(folder: pathlib.Path, **texts: str) -> Scripts:
    for name, text in texts.items():
        path = folder / "scripts" / f"{name.replace('__', '/')}.js"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return Scripts(Theme((folder,)))


def test_a_script_comes_after_all_that_it_needs_and_everything_once(tmp_path: pathlib.Path) -> None:
    scripts = theme_with(
        tmp_path,
        one="// One.\n// needs: two, three\none;\n",
        two="// needs: three, data/model\ntwo;\n",
        three="three;\n// needs: one\n",
    )
    assert scripts.in_order(["one", "two"]) == ("three", "data/model", "two", "one")
    assert scripts.findings == ()


def test_one_that_is_not_there_or_needs_itself_is_told(tmp_path: pathlib.Path) -> None:
    scripts = theme_with(tmp_path, one="// needs: two\n", two="// needs: one\n", three="// needs: four\n")
    for name, says in (("one", "the script 'one' needs itself"), ("three", "there is no script 'four'")):
        with pytest.raises(ThemeFault) as raised:
            scripts.in_order([name])
        assert told(raised.value.says) == says


def test_a_folder_is_one_script_whose_parts_share_their_functions(tmp_path: pathlib.Path) -> None:
    scripts = theme_with(
        tmp_path,
        whole__b="// needs: say, numbers\nfunction b() {}\n",
        whole__a="// needs: say\nfunction a() { b(); }\n",
    )
    text = scripts.files()["scripts/whole.js"].decode()
    assert text == scripts.text("whole")
    assert text.index("function a()") < text.index("function b()")
    assert text.count("(function (guide) {") == 1
    assert scripts.in_order(["whole"]) == ("say", "numbers", "whole")


def test_scripts_of_one_file_stand_in_it_in_the_order_of_their_needs(tmp_path: pathlib.Path) -> None:
    scripts = theme_with(
        tmp_path, a="// needs: b, data/model\n// in: both\na;\n", b="// in: both\nb;\n", c="// needs: a\nc;\n"
    )
    assert [scripts.file_of(name) for name in scripts.in_order(["c"])] == [
        "scripts/both.js",
        "data/model.js",
        "scripts/both.js",
        "scripts/c.js",
    ]
    assert scripts.files()["scripts/both.js"].decode() == scripts.text("b") + scripts.text("a")


def test_a_file_of_several_scripts_needs_no_script_outside_it() -> None:
    scripts = Scripts(PLAIN)
    several = [name for name in scripts.names if scripts.file_of(name) != output_name(name)]
    assert len(several) > 8
    for name in several:
        needed = [one for one in scripts.in_order([name]) if not one.startswith(DATA)]
        assert {scripts.file_of(one) for one in needed} == {scripts.file_of(name)}, name


def test_comments_and_indents_are_left_behind_and_nothing_else(tmp_path: pathlib.Path) -> None:
    """No text of ours goes over several lines, in which a line's beginning would count."""
    scripts = theme_with(tmp_path, one='// One.\nif (a) {\n  // why\n  b("// c"); // d\n}\n')
    assert 'if (a) {\nb("// c"); // d\n}\n' in scripts.text("one")
    for path in (*BROWSER.rglob("*.js"), *PLAIN.layers[0].rglob("*.js")):
        tokens = [token.text for token in tokens_of(path.read_text(encoding="utf-8")) if token.kind == "string"]
        assert [text for text in tokens if "\n" in text] == [], path.name


def test_a_script_says_itself_whether_it_runs_early_or_by_itself(tmp_path: pathlib.Path) -> None:
    scripts = theme_with(tmp_path, light="// runs: early\n", late="late;\n")
    assert scripts.is_early("light")
    assert not scripts.is_early("late")
    assert not {"scripts/worker.js", "scripts/preview.js"} & scripts.files().keys()


def test_a_name_that_is_taken_is_a_finding_and_the_guides_own_script_stays(
    guide: Any, limits: Any, model: Any, tmp_path: pathlib.Path
) -> None:
    theme = tmp_path / "mine"
    shutil.copytree(PLAIN.layers[0], theme)
    theme_with(theme, say="mine;\n")
    site, findings = make_site(CONTENT, Theme((theme,)), guide=guide, limits=limits, key=key_of(model))
    (found,) = [finding.line(ENGLISH) for finding in findings if finding.code == "script-name-taken"]
    assert found == (
        "mine/scripts/say.js:1:1: error: expected a name that none of the guide's own scripts has, found say"
    )
    assert all(b"\nmine;" not in text for name, text in site.items() if name.startswith("scripts/"))


def test_every_script_of_the_guide_and_of_the_plain_theme_finds_what_it_needs(
    guide: Any, limits: Any, model: Any
) -> None:
    scripts = Scripts(PLAIN)
    shelf = shelf_of(guide, limits, model)
    data = {name for files in FILES for name in files(shelf)} | {"data/lent.js"}  # of a guide in several languages only
    names = scripts.names
    assert len(names) > 20
    needed = scripts.in_order(names)
    assert [name for name in needed if name.startswith(DATA) and f"{name}.js" not in data] == []


def test_the_parts_of_a_folder_declare_no_name_twice_and_mirror_a_module_each() -> None:
    folders = [path for path in BROWSER.iterdir() if path.is_dir()]
    assert folders, "no folder of parts found"
    for folder in folders:
        modules = {path.stem for path in (BROWSER.parent / folder.name).glob("**/*.py")}
        names: list[str] = []
        for path in folder.glob("*.js"):
            assert path.stem in modules, f"{path.name} is the twin of no module of guide/{folder.name}/"
            names += re.findall(
                r"^(?:async )?(?:function|const|let) (\w+)", path.read_text(encoding="utf-8"), re.MULTILINE
            )
        assert [name for name in dict.fromkeys(names) if names.count(name) > 1] == []
