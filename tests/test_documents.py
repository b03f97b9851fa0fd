"""The pages for people say what the code does."""

from __future__ import annotations

import pathlib
import re

from guide.command.documents import CONTRACT, HANDBOOK, contract, handbook
from guide.words.say import load_words

ROOT = pathlib.Path(__file__).resolve().parent.parent


def test_the_handbook_is_as_the_code_has_it() -> None:
    written = {
        path.relative_to(HANDBOOK).as_posix(): path.read_text(encoding="utf-8")
        for path in HANDBOOK.rglob("*")
        if path.is_file() and len(path.with_suffix("").suffixes) == 0  # what is written in another language ends in it
    }
    assert written == handbook(load_words()), "run: python -m guide.command.documents"


def test_the_contract_of_themes_is_as_the_code_has_it() -> None:
    assert CONTRACT.read_text(encoding="utf-8") == contract(load_words()), "run: python -m guide.command.documents"


def test_every_path_that_the_developers_page_names_exists() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:guide|tests|themes|content)/[a-z_/.]+)`", text))
    assert len(named) > 20
    assert sorted(path for path in named if not (ROOT / path).exists()) == []


def test_the_top_level_holds_what_the_design_lists_and_nothing_else() -> None:
    listed = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "CHANGELOG.md",
        "pyproject.toml",
        "guide",
        "content",
        "themes",
        "build.py",
        "tests",
    }
    made_by_tools = {"out", "running_change.egg-info", "__pycache__"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert listed <= found
    assert found - listed - made_by_tools == set()


def test_the_readme_opens_with_the_job_and_shows_each_command_on_one_line() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    first = text.split("\n\n")[1]
    assert len(first) > 300
    assert not first.startswith(("#", "-", "|"))
    assert re.search(r"^    python3 -m venv \.venv .* build\.py$", text, re.MULTILINE)
    assert re.search(r"^    python3 -m venv \.venv .* -m pytest .*$", text, re.MULTILINE)
    assert "PowerShell" in text
    assert not re.search(r"^    py .*&&", text, re.MULTILINE)
