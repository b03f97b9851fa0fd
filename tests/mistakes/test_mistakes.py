"""An editor's day of mistakes: each is told where it stands, cause first, and mended by what its finding says."""

from __future__ import annotations

import pathlib

import pytest

from tests.mistakes.spoil import GUIDE, findings_of, line_of, mended, spoilt
from tests.mistakes.table import MISTAKES, Mistake
from tests.told import ENGLISH


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.id)
def test_a_mistake_is_told_where_it_stands_and_mended_by_what_is_said(mistake: Mistake, tmp_path: pathlib.Path) -> None:
    content = spoilt(mistake, tmp_path / "content")
    found = findings_of(content)
    assert found, "nothing was found"
    first = found[0]
    stands = mistake.code, mistake.at or mistake.file, line_of(mistake)
    assert (first.code, first.place.file, first.place.line) == stands
    assert len(found) == 1 + mistake.more, [one.line(ENGLISH) for one in found]
    if mistake.put_right:
        assert mistake.put_right in ENGLISH.tell(first.put_right)
    else:
        assert mended(content, first), first.printed(ENGLISH)


def test_the_guide_that_is_spoilt_is_good() -> None:
    assert findings_of(GUIDE) == ()
