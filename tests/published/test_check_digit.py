"""The check digit of 17-character numbers against published ones.

Sources: 49 CFR 565.15 (c) and its sample number in the older text; the widely published worked example
1M8GDM9AXKP042788; NHTSA, Outline for New Manufacturer Information, p. 18; the others worked by hand from
the regulation's tables. Many makers outside North America do not use the digit: a series has to say that
it does.
"""

from __future__ import annotations

import pytest

from guide.facts.types import Run, Series
from guide.facts.when.numbers import check_digit, write_number
from guide.finding import Place

PUBLISHED = {
    "1G4AH59H45G118341": "4",
    "1M8GDM9AXKP042788": "X",
    "1J9RP1A36A1644345": "6",
    "11111111111111111": "1",
    "JH2RC3605MM101581": "5",
    "LJCPCBLCX11000237": "X",
}


@pytest.mark.parametrize("number", PUBLISHED)
def test_a_published_number_has_the_digit_that_its_characters_call_for(number: str) -> None:
    assert check_digit(number) == PUBLISHED[number] == number[8]


def test_one_digit_mistyped_calls_for_another() -> None:
    assert check_digit("1G4AH59H45G118331") == "1"


@pytest.mark.parametrize(
    "number",
    ["1M8GDM9AXKP04278", "1M8GDM9AXKP0427888", "1M8GDM9AXKPO42788", "IM8GDM9AXKP042788", "1M8GDM9AXKQ042788", ""],
)
def test_what_cannot_be_such_a_number_calls_for_none(number: str) -> None:
    assert check_digit(number) is None


# The regulation's table of values: A to H are 1 to 8, J to N 1 to 5, P 7, R 9, S to Z 2 to 9, digits themselves.
VALUES = dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", [*range(1, 9), *range(1, 6), 7, 9, *range(2, 10), *range(10)], strict=True)
)


def test_every_character_taken_for_one_of_another_value_calls_for_another_digit() -> None:
    """No weight but the ninth is a multiple of 11, and no two values differ by one: 11 is prime."""
    number = "1M8GDM9AXKP042788"
    for at in (*range(8), *range(9, 17)):
        for other, value in VALUES.items():
            if value != VALUES[number[at]]:
                assert check_digit(number[:at] + other + number[at + 1 :]) not in (None, "X")


def test_the_digit_is_worked_out_when_a_number_is_written() -> None:
    place = Place("numbers/late.yml")
    series = Series(
        id="late",
        name="Late",
        body="car",
        written=("1M8GDM9A?KP######",),
        check_digit=True,
        runs=(Run(prefix="1M8GDM9A?KP", first=42000, last=43000, built=True, source="", place=place),),
        place=place,
    )
    assert write_number(series, "1M8GDM9A?KP", 42788).written == "1M8GDM9AXKP042788"
