"""An editor's day of mistakes: each is told where it stands, cause first, and mended by what its finding says."""

from __future__ import annotations

import pathlib

import pytest

from guide.command.lookup import EXAMPLES
from guide.facts.read import read_guide
from guide.finding import CODES, mend_order
from tests.mistakes.at_the_desk import AT_THE_DESK
from tests.mistakes.examples import text
from tests.mistakes.happenings import HAPPENINGS, Happening
from tests.mistakes.mistake import Mistake
from tests.mistakes.rarer import RARER
from tests.mistakes.spoil import GUIDE, findings_of, line_of, mended, spoilt, typed
from tests.mistakes.table import MEANT, MISTAKES
from tests.told import ENGLISH


@pytest.mark.parametrize("mistake", [*MISTAKES, *RARER, *AT_THE_DESK], ids=lambda mistake: mistake.id)
def test_a_mistake_is_told_where_it_stands_and_mended_by_what_is_said(mistake: Mistake, tmp_path: pathlib.Path) -> None:
    content = spoilt(mistake, tmp_path / "content")
    found = findings_of(content)
    assert found, "nothing was found"
    first = found[0]
    stands = mistake.code, mistake.at or mistake.file, line_of(mistake)
    assert (first.code, first.place.file, first.place.line) == stands
    assert len(found) == 1 + mistake.more, [one.line(ENGLISH) for one in found]
    assert set(mistake.follows) <= {one.code for one in found[1:]}
    if mistake.put_right:
        assert mistake.put_right in ENGLISH.tell(first.put_right)
        for mend in mistake.mend:
            typed(content, *mend)
        assert not mistake.mend or findings_of(content) == ()
    else:
        assert mended(content, first), first.printed(ENGLISH)


@pytest.mark.parametrize(("file", "right", "meant"), MEANT, ids=[meant for _, _, meant in MEANT])
def test_what_can_be_meant_in_one_way_only_is_taken_for_it(
    file: str, right: str, meant: str, tmp_path: pathlib.Path
) -> None:
    content = spoilt(Mistake(file, right, meant, ""), tmp_path / "content")
    assert findings_of(content) == ()
    assert read_guide(content).guide == read_guide(GUIDE).guide


def test_the_guide_that_is_spoilt_is_good() -> None:
    assert findings_of(GUIDE) == ()


@pytest.mark.parametrize("happens", HAPPENINGS, ids=[code for _, code, _, _ in HAPPENINGS])
def test_what_happens_by_itself_is_told_and_gone_once_that_is_done(
    happens: tuple[Happening, str, str, str], tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    happening, code, file, put_right = happens
    before, after = happening(tmp_path, monkeypatch)
    first = mend_order(tuple(before))[0]
    assert (first.code, first.place.file) == (code, file)
    assert put_right in ENGLISH.tell(first.put_right)
    assert tuple(after) == ()


def test_the_examples_that_help_shows_are_of_these_tables() -> None:
    assert EXAMPLES.read_text(encoding="utf-8") == text()


def test_no_kind_of_finding_is_left_out() -> None:
    typed_wrong = (*MISTAKES, *RARER, *AT_THE_DESK)
    shown = {code for mistake in typed_wrong for code in (mistake.code, *mistake.follows)}
    assert len(typed_wrong) >= 148
    assert sorted(set(CODES) - shown - {code for _, code, _, _ in HAPPENINGS}) == []
