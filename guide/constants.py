"""Every default in one table: its value, unit, source, and how a guide overrides it.

The table in DEVELOPERS.md and the page "How we know" are printed from here. A guide overrides a value in
guide.yml under `defaults:`, a mark with a field of its own where `per_mark` names one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["CONSTANTS", "Constant", "value_of"]


@dataclass(frozen=True, slots=True)
class Constant:
    """One default, in words for readers too. ``unit`` follows the value: "7 days", "0.5 of cars".

    ``source`` names where the value is from, or says that it has none.
    """

    value: float
    unit: str
    meaning: str
    source: str
    per_mark: str = ""  # the mark's field that overrides it, if any


COMMON = "common practice, no source"

CONSTANTS: dict[str, Constant] = {}

# Reading the facts
_ABOUT = "how far off, either way, a date may be that is given as about"
CONSTANTS |= {
    "about_day_days": Constant(7, "days", f"{_ABOUT} a day", COMMON),
    "about_month_days": Constant(30, "days", f"{_ABOUT} a month", COMMON),
    "about_season_days": Constant(45, "days", f"{_ABOUT} a season, a half or a third of a year", COMMON),
    "about_year_days": Constant(182, "days", f"{_ABOUT} a year", COMMON),
    "about_decade_days": Constant(1826, "days", f"{_ABOUT} a decade", COMMON),
    "about_century_days": Constant(9131, "days", f"{_ABOUT} a century", COMMON),
    "about_cars_share": Constant(
        0.25, "of the cars named", 'how far off, either way, "about 200 cars after" a car may be', COMMON
    ),
    "about_car_cars": Constant(50, "cars", 'how far off, either way, "about C1840" may be', COMMON),
    "survives_nearly_all": Constant(
        0.95, "of cars", 'still have their own where a part says "nearly all"', COMMON, "survives"
    ),
    "survives_most": Constant(0.8, "of cars", 'still have their own where a part says "most"', COMMON, "survives"),
    "survives_half": Constant(0.5, "of cars", 'still have their own where a part says "half"', COMMON, "survives"),
    "survives_few": Constant(0.15, "of cars", 'still have their own where a part says "few"', COMMON, "survives"),
}

# Limits
CONSTANTS |= {
    "handover_days": Constant(
        7,
        "days",
        "the longest time, apart from the longest closure, from the last car of one form to the first of the next",
        COMMON,
    ),
    "count_slack": Constant(
        0.02, "of a total", "how far counts given as about may exceed the total they belong to", COMMON
    ),
    "helpful_days": Constant(
        7,
        "days",
        "how much a car must be expected to narrow the limits before it is named as worth looking for",
        COMMON,
    ),
    "helpful_share": Constant(
        0.75,
        "of the best",
        "how much, beside the most helpful car, another must be expected to narrow the limits to be named with it",
        COMMON,
    ),
    "helpful_overlap_days": Constant(
        90, "days", "how long after a new form is known leftover stock is still worth looking for", COMMON
    ),
}

# Dating a car
CONSTANTS |= {
    "misread": Constant(0.02, "of looks", "take a form for another of the same part", COMMON, "misread"),
    "share_of_later": Constant(
        0.5, "of cars", "had the later form while both were fitted, where no source says", COMMON, "share"
    ),
    "overlap": Constant(
        60,
        "days",
        "how long an old form is taken to have been fitted beside the new one, in dating only, where no "
        "source says when it ended",
        COMMON,
    ),
    "option_share": Constant(0.1, "of cars", "had an option, where no source says how many had", COMMON, "share"),
    "habit": Constant(
        0.9, "of renewed parts", "are the spare sold for it, where a form says what it is sold in place of", COMMON
    ),
    "interior_survives": Constant(0.8, "of cars", "still have the trim they were built with", COMMON),
    "interior_misread": Constant(0.02, "of looks", "take the trim for another", COMMON),
    "body_misread": Constant(0.001, "of looks", "take the body for another", COMMON),
    "number_wrong": Constant(0.01, "of numbers", "are misread, mistyped or restamped", COMMON),
    "calendar_uneven": Constant(
        0.1,
        "of cars",
        "between two lines of the calendar: how far the build may be ahead of an even pace, or behind it, midway",
        COMMON,
    ),
    "paper_wrong": Constant(0.03, "of dates", "on papers and parts are another car's or misdated", COMMON),
    "paper_stray": Constant(
        7300, "days", "the range within which a date that is not the car's own lies anywhere", COMMON
    ),
    "registered_after": Constant(60, "days", "from build to registration, on average", COMMON),
    "despatched_after": Constant(10, "days", "from build to despatch, on average", COMMON),
    "titled_after": Constant(180, "days", "from build to first title, on average", COMMON),
    "part_before": Constant(120, "days", "the most by which a dated part is older than its car", COMMON),
    "stop_period": Constant(0.9, "of all chances", "what one period must have for the key to stop asking", COMMON),
    "stop_gain": Constant(
        0.01, "of a yes-or-no answer", "what a look must be expected to tell to be worth asking for", COMMON
    ),
    "told_apart": Constant(
        0.5,
        "of cars",
        "how many must differ in a part between two periods before it is said to tell them apart",
        COMMON,
    ),
    "bit_effort": Constant(
        1.75,
        "times",
        "what learning as much by looks still to come is reckoned to cost, beside the best look now",
        "measured against the best order of looks: tests/dating/test_proof.py",
    ),
    "effort_look": Constant(1, "look", "the trouble of one look, in which all trouble is measured", COMMON, "effort"),
    "effort_photographs": Constant(0, "looks", "the trouble of turning to photographs, once", COMMON),
    "effort_outside": Constant(0, "looks", "the trouble of walking round the car, once", COMMON),
    "effort_glass": Constant(0.5, "looks", "the trouble of looking in through the glass, once", COMMON),
    "effort_door": Constant(2, "looks", "the trouble of having a door opened, once", COMMON),
    "effort_seat": Constant(2, "looks", "the trouble of sitting inside, once", COMMON),
    "effort_bonnet": Constant(3, "looks", "the trouble of having the bonnet opened, once", COMMON),
    "effort_hands": Constant(3, "looks", "the trouble of touching and moving things, once", COMMON),
}


def value_of(name: str, overrides: Mapping[str, float]) -> float:
    """Return a default, or what the guide says instead. Raises KeyError for a name not in the table."""
    return overrides.get(name, CONSTANTS[name].value)
