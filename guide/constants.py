"""Every default in one table: its value, and how a guide overrides it. In words it stands in words/en/constants.json.

guide/handbook/defaults.md and the page "How we know" are printed from here. A guide overrides a value in guide.yml
under `defaults:`, a mark with a field of its own where `per_mark` names one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from guide.sentence import Sentence

__all__ = ["CONSTANTS", "Constant", "value_of"]


@dataclass(frozen=True, slots=True)
class Constant:
    """One default. ``unit`` follows the value, "7 days", "0.5 of cars"; ``source`` says where the value is from."""

    value: float
    unit: Sentence
    meaning: Sentence
    source: Sentence
    per_mark: str = ""  # the mark's field that overrides it, if any


def _constant(name: str, value: float, unit: str, per_mark: str = "", source: str = "common") -> tuple[str, Constant]:
    meaning = Sentence(f"constants.meaning.{name}")
    return name, Constant(
        value, Sentence(f"constants.unit.{unit}"), meaning, Sentence(f"constants.source.{source}"), per_mark
    )


# Name, value, unit; a mark's field that overrides it; where the value is from, if from anywhere but common practice.
CONSTANTS: dict[str, Constant] = dict(
    (
        # Reading the facts
        _constant("about_day_days", 7, "days"),
        _constant("about_month_days", 30, "days"),
        _constant("about_week_days", 7, "days"),
        _constant("about_season_days", 45, "days"),
        _constant("about_year_days", 182, "days"),
        _constant("about_decade_days", 1826, "days"),
        _constant("about_century_days", 9131, "days"),
        _constant("about_cars_share", 0.25, "of_the_cars_named"),
        _constant("about_car_cars", 50, "cars"),
        _constant("survives_nearly_all", 0.95, "of_cars", "survives"),
        _constant("survives_most", 0.8, "of_cars", "survives"),
        _constant("survives_half", 0.5, "of_cars", "survives"),
        _constant("survives_few", 0.15, "of_cars", "survives"),
        # Limits
        _constant("model_year_before", 184, "days"),
        _constant("model_year_after", 365, "days"),
        _constant("handover_days", 7, "days"),
        _constant("count_slack", 0.02, "of_a_total"),
        _constant("helpful_days", 7, "days"),
        _constant("helpful_share", 0.75, "of_the_best"),
        _constant("helpful_overlap_days", 90, "days"),
        # Dating a car
        _constant("misread", 0.02, "of_looks", "misread"),
        _constant("share_of_later", 0.5, "of_cars", "share"),
        _constant("overlap", 60, "days"),
        _constant("option_share", 0.1, "of_cars", "share"),
        _constant("habit", 0.9, "of_renewed_parts"),
        _constant("interior_survives", 0.8, "of_cars"),
        _constant("interior_misread", 0.02, "of_looks"),
        _constant("body_misread", 0.001, "of_looks"),
        _constant("model_misread", 0.0001, "of_looks"),
        _constant("split_survives", 0.98, "of_cars"),
        _constant("split_misread", 0.005, "of_looks"),
        _constant("number_wrong", 0.01, "of_numbers"),
        _constant("calendar_uneven", 0.11, "of_cars", "", "paced"),
        _constant("pace_unknown", 0.02, "of_cars"),
        _constant("restored", 0.065, "of_cars", "", "restored"),
        _constant("restored_known", 0.5, "of_cars"),
        _constant("restored_survives", 0.5, "of_parts"),
        _constant("restored_interior", 0.5, "of_cars"),
        _constant("restored_earlier", 0.1, "of_cars"),
        _constant("paper_wrong", 0.03, "of_dates"),
        _constant("paper_stray", 7300, "days"),
        _constant("registered_after", 60, "days"),
        _constant("despatched_after", 10, "days"),
        _constant("titled_after", 180, "days"),
        _constant("part_before", 120, "days", "dated before"),
        _constant("assembled_after", 365, "days"),
        _constant("stop_period", 0.9, "of_all_chances"),
        _constant("stop_gain", 0.01, "of_a_yes_or_no_answer"),
        _constant("told_apart", 0.5, "of_cars"),
        _constant("bit_effort", 1.75, "times", "", "measured"),
        _constant("effort_look", 1, "look", "effort"),
        _constant("effort_photographs", 0, "looks"),
        _constant("effort_outside", 0, "looks"),
        _constant("effort_glass", 0.5, "looks"),
        _constant("effort_door", 2, "looks"),
        _constant("effort_seat", 2, "looks"),
        _constant("effort_bonnet", 3, "looks"),
        _constant("effort_hands", 3, "looks"),
    )
)


def value_of(name: str, overrides: Mapping[str, float]) -> float:
    """Return a default, or what the guide says instead. Raises KeyError for a name not in the table."""
    return overrides.get(name, CONSTANTS[name].value)
