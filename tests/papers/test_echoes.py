"""A newsletter with issues, one of which copied a bulletin: shown, and nobody's second witness."""

from __future__ import annotations

import pathlib

from guide.facts.types import StatementKind
from tests.papers.laid import Laid
from tests.told import told

LAID = "echoes"


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_an_echo_bears_nothing_out_and_issues_of_one_paper_do_not_bear_each_other_out(laid: Laid) -> None:
    """Bulletin 7, the newsletter and the journal give one day; issues 37 and 38 give another; nobody bears it out."""
    assert laid.worked.limits is not None
    assert {key: told(said) for key, said in laid.worked.limits.corroborated.items()} == {}


def test_an_echo_whose_original_says_the_same_is_left_out_and_another_is_read(laid: Laid) -> None:
    """Of the cars seen the parts list names none: what repeats it there is all there is of it."""
    assert laid.worked.limits is not None
    assert laid.worked.limits.unused == {("roof-lamp", 1): "echo", ("roof-lamp", 2): "echo", ("roof-lamp", 5): "echo"}
    assert laid.worked.guide is not None
    assert laid.worked.guide.marks["roof-lamp"].statements[4].kind is StatementKind.SEEN


def test_the_part_shows_whose_word_an_echo_is(laid: Laid) -> None:
    words = laid.words_of("marks/roof-lamp.html")
    assert "Round Last: December 1961 Service bulletin 7 Stands." in words
    again = "Shown, and not counted again. It repeats Service bulletin 7."
    assert f"Round Last: December 1961 Club newsletter 12 {again}" in words
    assert f"Round Last: December 1961 Journal {again}" in words
    assert "Square Seen on S612, a car believed untouched Club register Stands. It repeats Parts list." in words


def test_sources_show_issues_what_was_read_in_vain_and_where_a_scan_is(laid: Laid) -> None:
    words = laid.words_of("sources.html")
    assert "Read, and silent on all this: 13, 14 to 20 and 1986-special." in words
    assert "Club newsletter 12 Newsletter, March 1981. It repeats Service bulletin 7." in words
    assert "Club newsletter 37 Newsletter, June 1987. Believed, unless a better source says otherwise." in words
    assert "One sheet on the roof lamp. Read it at papers.example.org" in words
    page = laid.site["sources.html"].decode("utf-8")
    assert '<a href="https://papers.example.org/bulletins/7" rel="noreferrer">' in page
    assert f'<a href="{_only_photograph(laid)}">See a scan</a>' in page
    assert 'id="source-newsletter--37"' in page
    assert "../sources.html#source-newsletter--37" in laid.site["marks/roof-lamp.html"].decode("utf-8")


def _only_photograph(laid: Laid) -> str:
    (name,) = (name for name in laid.site if pathlib.Path(name).suffix == ".png" and name.startswith("pictures/"))
    return name


def test_a_ruling_says_whose_it_is(laid: Laid) -> None:
    assert "The first list is the fuller one. Ruled 25 November 2026 by the registrar." in laid.words_of("sources.html")
    assert "The first list is the fuller one. Ruled by the registrar." in laid.words_of("marks/door-handle.html")


def test_a_paper_and_its_echoes_are_counted_once(laid: Laid) -> None:
    """Eleven lines, three of them echoes; seven names to cite, three of them issues of one paper."""
    assert "from 8 statements in 5 sources." in laid.words_of("about.html")
