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
    """One default. ``unit`` in words; ``source`` names where the value is from, or says that it has none."""

    value: float
    unit: str
    meaning: str
    source: str
    per_mark: str = ""       # the mark's field that overrides it, if any


COMMON = "common practice, no source"

CONSTANTS: dict[str, Constant] = {}

# Reading the facts
_ABOUT = "either way, by which a date given as about"
CONSTANTS |= {
    "about_day_days": Constant(7, "days", f"{_ABOUT} a day may be off", COMMON),
    "about_month_days": Constant(30, "days", f"{_ABOUT} a month may be off", COMMON),
    "about_season_days": Constant(45, "days", f"{_ABOUT} a season, a half or a third of a year may be off", COMMON),
    "about_year_days": Constant(182, "days", f"{_ABOUT} a year may be off", COMMON),
    "about_decade_days": Constant(1826, "days", f"{_ABOUT} a decade may be off", COMMON),
    "about_century_days": Constant(9131, "days", f"{_ABOUT} a century may be off", COMMON),
    "about_cars_share": Constant(
        0.25, "share of the cars named", 'by which "about 200 cars after" a car may be off, either way', COMMON),
    "about_car_cars": Constant(50, "cars", 'by which "about C1840" may be off, either way', COMMON),
    "survives_nearly_all": Constant(
        0.95, "share of cars", 'keep their own where a mark says "nearly all"', COMMON, "survives"),
    "survives_most": Constant(0.8, "share of cars", 'keep their own where a mark says "most"', COMMON, "survives"),
    "survives_half": Constant(0.5, "share of cars", 'keep their own where a mark says "half"', COMMON, "survives"),
    "survives_few": Constant(0.15, "share of cars", 'keep their own where a mark says "few"', COMMON, "survives"),
}

# Limits
CONSTANTS |= {
    "handover_days": Constant(
        7, "days", "at most, beside the longest closure, from the last car of a form to the first of the next", COMMON),
    "count_slack": Constant(
        0.02, "share of a total", "by which counts given as about may pass the total they belong to", COMMON),
    "helpful_days": Constant(
        7, "days", "by which a car must be expected to narrow limits, to be named as worth looking for", COMMON),
    "helpful_share": Constant(
        0.75, "share of the best", "that a car must be expected to narrow limits by, to be named with it", COMMON),
    "helpful_overlap_days": Constant(
        90, "days", "after a new form is known, in which leftover stock is still worth looking for", COMMON),
}

# Dating a car
CONSTANTS |= {
    "misread": Constant(0.02, "share of looks", "a form is taken for another of the same mark", COMMON, "misread"),
    "share_of_later": Constant(
        0.5, "share of cars", "have the later form while both were fitted, where no statement says", COMMON, "share"),
    "overlap": Constant(
        60, "days", "an old form is fitted beside the new one, in dating only, where no statement closes it", COMMON),
    "option_share": Constant(0.1, "share of cars", "have an option whose share is not stated", COMMON, "share"),
    "habit": Constant(
        0.9, "share of renewed parts", "are the spare sold for it, where a form says what it is sold in place of",
        COMMON),
    "interior_survives": Constant(0.8, "share of cars", "still have the trim they were built with", COMMON),
    "interior_misread": Constant(0.02, "share of looks", "the trim is taken for another", COMMON),
    "body_misread": Constant(0.001, "share of looks", "the body is taken for another", COMMON),
    "number_wrong": Constant(0.01, "share of numbers", "are misread, mistyped or restamped", COMMON),
    "calendar_uneven": Constant(
        0.1, "share of cars", "between two lines of the calendar, by which the build may be ahead or behind midway",
        COMMON),
    "paper_wrong": Constant(0.03, "share of dates", "on papers and parts are another car's or misdated", COMMON),
    "paper_stray": Constant(7300, "days", "within which a date that is not the car's own lies anywhere", COMMON),
    "registered_after": Constant(60, "days", "from build to registration, on average", COMMON),
    "despatched_after": Constant(10, "days", "from build to despatch, on average", COMMON),
    "titled_after": Constant(180, "days", "from build to first title, on average", COMMON),
    "part_before": Constant(120, "days", "at most, by which a dated part is older than its car", COMMON),
    "stop_period": Constant(0.9, "chance", "of one period at which the key stops asking", COMMON),
    "stop_gain": Constant(0.01, "bits", "below which no look is worth asking for", COMMON),
    "told_apart": Constant(
        0.5, "total variation, 0 to 1", "under which a mark counts as not telling two periods apart", COMMON),
    "bit_effort": Constant(
        1.75, "times the effort", "that the best look now takes per bit, for a bit still unknown one look ahead",
        "measured: tests/dating/test_policy.py"),
    "effort_look": Constant(1, "efforts", "of one look, the unit of effort", COMMON, "effort"),
    "effort_photographs": Constant(0, "efforts", "of turning to photographs, once", COMMON),
    "effort_outside": Constant(0, "efforts", "of walking round the car, once", COMMON),
    "effort_glass": Constant(0.5, "efforts", "of looking in through the glass, once", COMMON),
    "effort_door": Constant(2, "efforts", "of having a door opened, once", COMMON),
    "effort_seat": Constant(2, "efforts", "of sitting inside, once", COMMON),
    "effort_bonnet": Constant(3, "efforts", "of having the bonnet opened, once", COMMON),
    "effort_hands": Constant(3, "efforts", "of touching and moving things, once", COMMON),
}


def value_of(name: str, overrides: Mapping[str, float]) -> float:
    """Return a default, or what the guide says instead. Raises KeyError for a name not in the table."""
    return overrides.get(name, CONSTANTS[name].value)
