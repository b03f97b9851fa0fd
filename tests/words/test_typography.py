"""Apostrophes, quotation marks and dashes: what the keyboard has, and what print has."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.words.typography import BREAK, typographic


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        (
            "The works' have a crease; the maker's plate has none.",
            "The works’ have a crease; the maker’s plate has none.",
        ),
        ('Ask who made it, and expect "later".', "Ask who made it, and expect “later”."),
        ('"Over the counter" means bought there.', "“Over the counter” means bought there."),
        ("the '68 car, rock 'n' roll, '68", "the ’68 car, rock ’n’ roll, ’68"),
        ("he said 'not this one' and went", "he said ‘not this one’ and went"),
        ("\"He wrote 'no' twice.\"", "“He wrote ‘no’ twice.”"),
        ("a wheel of 14\" and a car of 13'", "a wheel of 14\" and a car of 13'"),
        ('the car "of 1968"', "the car “of 1968”"),
        ('(see "Toggles")', "(see “Toggles”)"),
        ("“Already’s” set", "“Already’s” set"),
        ("part T1091/3", "part T1091/3"),
        ("at -68 or (-90) it freezes", "at −68 or (−90) it freezes"),
        ("bag - bottle - bag, 1968-09, C-suffix, -lid", "bag – bottle – bag, 1968-09, C-suffix, -lid"),
    ],
)
def test_print_has_other_marks_than_the_keyboard(typed: str, printed: str) -> None:
    assert typographic(typed) == printed


def test_each_language_has_its_own_and_the_apostrophe_is_everybody_s() -> None:
    assert typographic('Er sagte "nein" und ging.', "de-AT") == "Er sagte „nein“ und ging."
    assert typographic("\"Er schrieb 'nein', zweimal.\"", "de") == "„Er schrieb ‚nein‘, zweimal.“"
    assert typographic('Er sagte "nein".', "de-CH") == "Er sagte «nein»."
    assert typographic('Han sa "nej" och gick.', "sv") == "Han sa ”nej” och gick."
    assert typographic('L\'auto "rouge"', "fr") == 'L’auto "rouge"'


def test_a_quotation_left_open_ends_with_its_text() -> None:
    assert typographic(f'an "open one{BREAK}14" wheel') == f'an “open one{BREAK}14" wheel'


@given(st.text(alphabet="ab '\"12.(-\n"))
def test_every_sign_keeps_its_place(text: str) -> None:
    printed = typographic(text)
    assert len(printed) == len(text)
    for typed, sign in zip(text, printed, strict=True):
        assert sign == typed or (typed in "'\"" and sign in "‘’“”'\"") or (typed == "-" and sign in "–−")


@given(st.text(alphabet="ab '\"12.(-\n"))
def test_setting_twice_is_setting_once(text: str) -> None:
    once = typographic(text, "fr")
    assert typographic(once, "fr") == once
