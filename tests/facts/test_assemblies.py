"""How long after, or before, its number was given out a car was put together, as typed."""

from __future__ import annotations

import pytest

from guide.facts.records.assemblies import Assembly
from guide.facts.records.fields import read_record
from guide.facts.text.desk import Desk
from guide.facts.text.source import Keyed
from guide.facts.values import Text
from guide.finding import Place

HERE = Place("guide.yml")


@pytest.mark.parametrize(
    ("key", "typed", "least", "most"),
    [
        ("after", "3 to 9 months", 91, 274),
        ("after", "up to a year", 0, 365),
        ("after", "at most 6 weeks", 0, 42),
        ("after", "10 days to 3 months", 10, 91),
        ("after", "0-2 weeks", 0, 14),
        ("before", "1 to 2 weeks", -14, -7),
        ("before", "up to half a year", -183, 0),
    ],
)
def test_a_span_is_its_least_and_its_most_in_days(key: str, typed: str, least: int, most: int) -> None:
    pairs = ((Text("for", HERE), Keyed((), HERE)), (Text(key, HERE), Text(typed, HERE)))
    made = read_record(Assembly, Keyed(pairs, HERE), Desk())
    assert made is not None
    assert (made.least_days, made.most_days, made.span) == (least, most, typed)
