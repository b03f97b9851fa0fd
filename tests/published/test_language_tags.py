"""Language tags and licence identifiers against published ones.

Sources: BCP 47 (RFC 5646), appendix A: en-GB, zh-Hant-TW and de-DE-1901 are well formed, de-419-DE is not;
the SPDX licence list: CC-BY-4.0 is an identifier, CC-BY alone is not.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from guide.facts.read import read_guide

SMALL = Path(__file__).parents[1] / "facts" / "small"


def codes(tmp_path: Path, line: str) -> list[str]:
    content = Path(shutil.copytree(SMALL, tmp_path / "content"))
    with (content / "guide.yml").open("a", encoding="utf-8") as file:
        file.write(f"{line}\n")
    return [finding.code for finding in read_guide(content).findings]


@pytest.mark.parametrize("tag", ["en-GB", "de", "zh-Hant-TW", "de-DE-1901", "es-419", "sl-rozaj"])
def test_a_well_formed_tag_is_taken(tmp_path: Path, tag: str) -> None:
    assert codes(tmp_path, f"language: {tag}") == []


@pytest.mark.parametrize("tag", ["de-419-DE", "en_US", "English", "e"])
def test_what_is_no_tag_is_refused(tmp_path: Path, tag: str) -> None:
    assert codes(tmp_path, f"language: {tag}") == ["bad-language-tag"]


@pytest.mark.parametrize(
    "licence",
    [
        "CC0-1.0",
        "CC-BY-4.0",
        "CC-BY-SA-4.0",
        "CC-BY-SA-3.0",
        "CC-BY-SA-2.5",
        "CC-BY-SA-2.0",
        "CC-BY-NC-4.0",
        "CC-BY-NC-ND-4.0",
        "MIT",
        "GFDL-1.3-only",
    ],
)
def test_an_identifier_is_taken(tmp_path: Path, licence: str) -> None:
    assert codes(tmp_path, f"licence: {licence}") == []


@pytest.mark.parametrize("licence", ["CC-BY", "CC BY-SA 4.0", "CC-BY-5.0", "all rights reserved"])
def test_what_is_no_identifier_is_said_to_be_none(tmp_path: Path, licence: str) -> None:
    assert codes(tmp_path, f"licence: {licence}") == ["unknown-licence"]
