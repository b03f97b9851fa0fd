"""Which languages there are, and the sentences of each as its files hold them.

A language is a folder beside this module, a JSON file for each stage in it: sentence id -> template, a whole sentence
each, the id beginning with the stage.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["FOLDERS", "languages", "main_of", "own_templates", "untranslated"]

FOLDERS = [Path(__file__).parent]  # where languages are looked for, each a folder; a further place is added here


def languages() -> tuple[str, ...]:
    """Return the languages there are sentences for, by their folders, in alphabetical order."""
    found = {path.name for folder in FOLDERS for path in folder.iterdir() if (path / "words.json").is_file()}
    return tuple(sorted(found))


def main_of(language: str) -> str:
    """Return the language of a tag without its script and region: "en" of "en-GB"."""
    return language.split("-")[0].lower()


def own_templates(language: str) -> dict[str, str]:
    """Return every sentence of a language. Raises AssertionError where one stands in two files."""
    return dict(_templates(language, tuple(FOLDERS)))


@cache
def _templates(language: str, folders: tuple[Path, ...]) -> dict[str, str]:
    templates: dict[str, str] = {}
    for path in sorted(path for folder in folders for path in (folder / language).glob("*.json")):
        more: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        assert not templates.keys() & more.keys(), f"{path.name} repeats {templates.keys() & more.keys()}"
        templates |= more
    return templates


def untranslated(language: str) -> list[str]:
    """Return the ids of the sentences that a language lacks, so that they are said in English, in order."""
    return sorted(own_templates("en").keys() - own_templates(main_of(language)).keys())
