"""A few hundred spoilt guides at every run; `tests.fuzz.spoil` tries as many thousands as one has time for."""

from __future__ import annotations

import pathlib
from types import SimpleNamespace

import pytest

from guide.command.work import work_out
from tests.fuzz import handed_over, spoil

# Guides that once were thrown at, hung, or were refused without a word.
FOUND = (53, 830, 4128, 21891)


def _tried(seeds: range) -> list[str]:
    said: list[str] = []
    spoil.tried(seeds, lambda seed, what: said.append(f"{seed}: {what}"))
    return said


@pytest.mark.parametrize("first", range(0, 400, 100))
def test_spoilt_guides_are_told_what_is_wrong(first: int) -> None:
    assert _tried(range(100_000 + first, 100_100 + first)) == []


def test_what_was_found_stays_mended() -> None:
    assert [_tried(range(seed, seed + 1)) for seed in FOUND] == [[] for _ in FOUND]


def test_the_guide_that_is_spoilt_is_a_good_one(tmp_path: pathlib.Path) -> None:
    spoil.write(spoil.base(), tmp_path / "guide")
    assert spoil.trouble(tmp_path / "guide") == ""
    assert [finding for finding in work_out(tmp_path / "guide").findings if finding.severity == "error"] == []


def test_enough_spoilt_guides_reach_the_later_stages(tmp_path: pathlib.Path) -> None:
    usable = 0
    for seed in range(60):
        spoil.write(spoil.spoilt(seed), tmp_path / "guide")
        usable += work_out(tmp_path / "guide").key is not None
    assert usable > 15


def test_a_planted_crash_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guide.command.work.derive_limits", None)
    assert any("thrown: TypeError" in said for said in _tried(range(20)))


def test_a_crash_planted_in_the_making_of_pages_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guide.press.render.Renderer.render", None)
    assert any(
        "thrown: TypeError" in said for said in _tried(range(0, 20 * spoil.LAID_OUT_EVERY, spoil.LAID_OUT_EVERY))
    )


def test_a_refusal_without_an_error_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    silent = SimpleNamespace(findings=(), guide=None, lines={})
    monkeypatch.setattr("guide.command.work.read_guide", lambda *_: silent)
    assert _tried(range(2)) == ["0: refused without an error", "1: refused without an error"]


def test_spoilt_pictures_addresses_lines_and_notes_are_read_or_told_of(node: str) -> None:
    assert handed_over.troubles(range(50_000, 50_150), node) == []


def test_what_throws_at_a_picture_or_in_the_browser_is_found(
    node: str, tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(handed_over, "make_photograph", None)
    found = [handed_over.picture_trouble(seed, tmp_path) for seed in range(20)]
    assert any("thrown: TypeError" in said for said in found)
    broken = handed_over._CHECK.replace("guide.path.readHash(guide.path.hashOf(state), known)", "guide.none()")
    monkeypatch.setattr(handed_over, "_CHECK", broken)
    assert any("address: thrown" in said for _, said in handed_over.browser_troubles(range(3), node))
