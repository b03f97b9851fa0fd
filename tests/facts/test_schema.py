"""JSON Schema and reader never disagree: over good guides, and over every spoilt one.

Held against a reference validator, jsonschema; the dialect is draft 7 (json-schema.org).
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from guide.command.documents import HANDBOOK
from guide.command.start import STARTER
from guide.facts.read import read_guide
from guide.facts.records.schema import FILES, modeline, schemas
from guide.finding import Finding, Severity
from guide.sentence import sentence
from tests.mistakes.spoil import GUIDE, spoilt
from tests.mistakes.table import MISTAKES
from tests.told import ENGLISH

HERE = Path(__file__).parent
DEMO = HERE.parent.parent / "content"
BAD = sorted(path for path in (HERE / "bad").glob("*/") if path.is_dir())
# What the form of one file shows: a schema sees it as the reader does.
_OF_FORM = ("unknown-key", "missing-key", "wrong-shape")
_BY_SPLITS = (sentence("facts.record.share-row"), sentence("facts.record.split-value"))
_OF_MEANING = (  # what hangs on other keys or files, though it is said in the same way
    "facts.missing-key.as",
    "facts.missing-key.as-empty",
    "facts.wrong-shape.own-series",
    "facts.wrong-shape.value",
)


def draft_7() -> Any:
    """Return the reference validator; it takes seconds to load, so only where it is asked."""
    from jsonschema import Draft7Validator

    return Draft7Validator


@cache
def validator(kind: str) -> Any:
    return draft_7()(schemas(ENGLISH)[kind])


def files_of(content: Path) -> Iterator[tuple[str, str, Any]]:
    """Yield each file that a schema is for: its name, its kind, and what it holds, as text and as YAML 1.2 types it."""
    for path in sorted(content.rglob("*.yml")):
        name = path.relative_to(content).as_posix()
        kind = name.removesuffix(".yml").split("/")[0]
        text = path.read_text(encoding="utf-8", errors="replace")
        if kind not in FILES or name.count("/") != (kind in ("numbers", "marks", "care")):
            continue
        if re.search(r"[&*]\w|<<", text):
            continue  # repeats are unfolded by some parsers, and refused here
        try:
            held = yaml.load(text, yaml.BaseLoader)
        except yaml.YAMLError:
            continue  # the editor's own parser says that
        if isinstance(held, dict):
            yield name, kind, held
            yield name, kind, typed(held)


def typed(held: Any) -> Any:
    """Return what was loaded as text with numbers, yes or no, and nothing as the core schema of YAML 1.2 has it."""
    if isinstance(held, dict):
        return {key: typed(value) for key, value in held.items()}
    if isinstance(held, list):
        return [typed(one) for one in held]
    if re.fullmatch(r"-?\d+", held):
        return int(held)
    return {"": None, "true": True, "false": False}.get(held, held)


def disagreements(content: Path, only: str = "") -> list[str]:
    found = read_guide(content).findings
    said = []
    for name, kind, held in files_of(content):
        if only not in ("", name):
            continue
        errors = [error.message for error in validator(kind).iter_errors(held)]
        here = [one for one in found if one.place.file == name and one.severity is Severity.ERROR]
        if errors and not here:
            said.append(f"{name}: the schema refuses what is read: {errors[0][:200]}")
        if not errors and any(_of_form(one) for one in here):
            said.append(f"{name}: the schema takes what is not read: {[one.line(ENGLISH) for one in here]}")
    return said


def _of_form(finding: Finding) -> bool:
    shown = finding.code in _OF_FORM or finding.message.id in ("facts.unknown-choice.of", "facts.unknown-choice.yes-no")
    of_splits = dict(finding.message.values).get("record") in _BY_SPLITS  # whose keys hang on the splits there are
    return shown and not of_splits and finding.message.id not in _OF_MEANING


@pytest.mark.parametrize("content", [DEMO, STARTER, HERE / "small", GUIDE], ids=lambda path: path.name)
def test_a_good_guide_is_good_by_its_schemas(content: Path) -> None:
    kinds = set()
    for name, kind, held in files_of(content):
        kinds.add(kind)
        assert [error.message for error in validator(kind).iter_errors(held)] == [], name
    assert len(kinds) >= 6


def test_schema_and_reader_agree_on_every_spoilt_guide(tmp_path: Path) -> None:
    said = {}
    for folder in BAD:
        content = Path(shutil.copytree(HERE / "small", tmp_path / folder.name))
        shutil.copytree(folder, content, dirs_exist_ok=True)
        said[folder.name] = disagreements(content)
    assert {name: one for name, one in said.items() if one} == {}
    assert len(said) > 70


def test_schema_and_reader_agree_on_every_mistake(tmp_path: Path) -> None:
    forms = [
        mistake
        for mistake in MISTAKES
        if mistake.file.endswith(".yml") and not mistake.becomes and mistake.code != "same-name"
    ]
    said = {one.id: disagreements(spoilt(one, tmp_path / str(at)), one.file) for at, one in enumerate(forms)}
    assert {name: one for name, one in said.items() if one} == {}


def test_each_schema_is_one_and_describes_every_key() -> None:
    for name, schema in schemas(ENGLISH).items():
        draft_7().check_schema(schema)
        for record in (one for kind, one in schema["definitions"].items() if kind != "spoken"):
            assert all(one["description"] for one in record["properties"].values()), name
    mark = schemas(ENGLISH)["marks"]["definitions"]["mark"]
    assert mark["properties"]["reach"]["anyOf"][0]["enum"][:2] == ["photographs", "outside"]
    assert mark["required"] == ["name", "question", "reach", "survives", "forms"]


def test_the_line_that_editors_read_leads_from_a_file_to_its_schema() -> None:
    for file in ("guide.yml", "marks/switches.yml", "numbers/coupe.yml", "care/damp.yml"):
        line = modeline(file)
        schema = (HANDBOOK.parent / file).parent / line.rpartition("=")[2]
        assert schema.resolve() == (HANDBOOK / "schemas" / f"{file.split('/')[0].removesuffix('.yml')}.json").resolve()
        assert schema.resolve().is_file()
    assert modeline("statements.csv") == ""
