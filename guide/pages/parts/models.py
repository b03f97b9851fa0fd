"""The models of a guide as pages have them: which there are, whose a period is, along which axis a course runs."""

from __future__ import annotations

from sys import intern

from guide.facts.types import CarModel, Period
from guide.limits.changeovers import series_by_number
from guide.limits.courses import Course, lines_of
from guide.pages.shelf import Shelf, once

__all__ = ["axis_of", "beside", "car_models", "meets", "model_axis", "model_on"]

_MODEL = "model/"


@once
def car_models(shelf: Shelf) -> tuple[CarModel, ...]:
    """Return the models of the guide, in order; most guides have one."""
    return shelf.guide.models


def beside(shelf: Shelf, period: Period) -> tuple[Period, ...]:
    """Return the periods of the model that a period is of, in order, itself among them."""
    return next(model.periods for model in car_models(shelf) if period in model.periods)


def model_axis(at: int) -> str:
    """Return the name of the axis along the days of a model, by its place among them."""
    return intern(f"{_MODEL}{at + 1}")


def model_on(shelf: Shelf, axis: str) -> CarModel | None:
    """Return the model along whose days an axis runs, None for another axis."""
    return car_models(shelf)[int(axis.removeprefix(_MODEL)) - 1] if axis.startswith(_MODEL) else None


def axis_of(shelf: Shelf, course: Course) -> str:
    """Return the axis of a course: a series, along its numbers; the days of the one model that it is of; else empty,
    along all days."""
    series, models = series_by_number(shelf.limits, course), car_models(shelf)
    if series or len(models) == 1:
        return series
    found = [at for at, model in enumerate(models) if meets(shelf, course, model)]
    return model_axis(found[0]) if len(found) == 1 else ""


def meets(shelf: Shelf, course: Course, model: CarModel) -> bool:
    """Tell whether a course speaks of cars of a model."""
    return any(line.series.id in model.series for line in lines_of(shelf.limits, course))
