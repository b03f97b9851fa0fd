"""An editor's day of mistakes: each is told where it stands, cause first, and mended by what its finding says."""

from __future__ import annotations

import pathlib

import pytest

from guide.facts.read import read_guide
from guide.finding import CODES
from tests.mistakes.spoil import GUIDE, findings_of, line_of, mended, spoilt
from tests.mistakes.table import MEANT, MISTAKES, Mistake
from tests.told import ENGLISH

# What is no editor's mistake but a disk's, a theme's or another program's, or takes a guide of many cars to come about;
# each has its own case in tests/facts, tests/limits, tests/checks or tests/press.
ELSEWHERE = frozenset(
    """
    unreadable-file link-in-folder double-ending not-yaml too-deep too-large production-of-whom number-without-order
    car-outside-rule wrong-check-digit unknown-model-year bad-address former-id-taken repeated-in-order
    ruling-names-several ruling-changes-kind ruled-twice cells-beyond-heading no-headings workbook
    statement-without-works read-as-windows-1252 notation-widths rival-ends column-read-as withdrawn-unmet
    not-in-language calendar-contradicts span-inverted mixed-by-number ruling-reopened together-apart
    speaks-for-no-car seen-while-shut range-too-wide period-cars-differ periods-differ period-outside-limits
    interior-outside-limits option-outside-limits built-outside-production dated-car-contradicts count-too-high
    counts-exceed-output more-survive-than-built ruling-decides-nothing not-placed bound-looser one-form
    time-without-form periods-not-told-apart picture-without-credit car-seen-contradicts observers-disagree
    one-form-shown car-seen-differs looks-differ lines-repeated out-not-ours out-held out-busy out-moved none-before
    cannot-write names-differ-in-case unsafe-name theme-broken script-name-taken theme-manifest cannot-commit
    unforeseen picture-too-large text-too-deep sheet-entry-too-long page-too-heavy dead-link outside-request
    file-too-heavy edition-not-renamed picture-misnamed
    """.split()  # noqa: SIM905
)


# Of these the case in tests/press holds the words and not the code.
SHOWN_BY_THEIR_WORDS = frozenset(
    """
    out-moved page-too-heavy picture-too-large sheet-entry-too-long text-too-deep theme-manifest outside-request
    file-too-heavy cannot-commit dead-link
    """.split()  # noqa: SIM905
)


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


@pytest.mark.parametrize(("file", "right", "typed"), MEANT, ids=[typed for _, _, typed in MEANT])
def test_what_can_be_meant_in_one_way_only_is_taken_for_it(
    file: str, right: str, typed: str, tmp_path: pathlib.Path
) -> None:
    content = spoilt(Mistake(file, right, typed, ""), tmp_path / "content")
    assert findings_of(content) == ()
    assert read_guide(content).guide == read_guide(GUIDE).guide


def test_the_guide_that_is_spoilt_is_good() -> None:
    assert findings_of(GUIDE) == ()


def test_no_kind_of_finding_is_left_out() -> None:
    shown = {mistake.code for mistake in MISTAKES}
    assert len(MISTAKES) >= 148
    assert sorted(set(CODES) - shown - ELSEWHERE) == []
    assert sorted(ELSEWHERE & shown) == []
    tests = pathlib.Path(__file__).parent.parent
    expected = "".join(path.read_text(encoding="utf-8") for path in tests.glob("*/bad/*/expected.txt"))
    code = "".join(
        path.read_text(encoding="utf-8") for path in tests.rglob("test_*.py") if path.parent.name != "mistakes"
    )
    unseen = {one for one in ELSEWHERE if f"({one})" not in expected and one not in code}
    assert sorted(unseen - SHOWN_BY_THEIR_WORDS) == []
