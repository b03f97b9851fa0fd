"""Output names that every system holds, and links that lead from one to another."""

from __future__ import annotations

import posixpath
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.pages.parts.naming import relative_link, safe_name, slug, unsafe_name


@pytest.mark.parametrize("plain", ["switches", "tail-lamps", "bulletin-7b", "1994"])
def test_a_plain_id_is_its_own_name(plain: str) -> None:
    assert safe_name(plain, ".html") == f"{plain}.html"


@pytest.mark.parametrize(
    "odd", ["aux", "COM1", "con", "nul", "Dash", "kühler", "a/b", "..", "a b", "x" * 300, "лампа", ""]
)
def test_an_odd_id_gets_a_name_that_every_system_holds(odd: str) -> None:
    name = safe_name(odd, ".html")
    assert unsafe_name(name) is None
    assert name == name.lower()
    assert name.isascii()


@given(st.text(max_size=80), st.text(max_size=80))
def test_two_ids_never_meet_in_one_name(one: str, other: str) -> None:
    assert (safe_name(one) == safe_name(other)) == (one == other) or slug(one) == slug(other)
    assert unsafe_name(safe_name(one, ".html")) is None


@pytest.mark.parametrize(
    ("here", "there", "link"),
    [
        ("index.html", "marks/switches.html", "marks/switches.html"),
        ("marks/switches.html", "index.html", "../index.html"),
        ("marks/a.html", "marks/b.html", "b.html"),
        ("marks/a.html", "areas/b.html#part", "../areas/b.html#part"),
        ("a.html", "search.html?q=1#x", "search.html?q=1#x"),
        ("a.html", "pictures/left dash.jpg", "pictures/left%20dash.jpg"),
    ],
)
def test_links_are_relative(here: str, there: str, link: str) -> None:
    assert relative_link(here, there) == link


@given(
    st.lists(st.sampled_from(["a", "b", "c d"]), min_size=1, max_size=4),
    st.lists(st.sampled_from(["a", "b", "c d"]), min_size=1, max_size=4),
)
def test_following_a_link_leads_there(here: list[str], there: list[str]) -> None:
    start, goal = "/".join([*here, "page.html"]), "/".join([*there, "goal.html"])
    link = unquote(relative_link(start, goal))
    assert posixpath.normpath(posixpath.join(posixpath.dirname(start), link)) == goal
