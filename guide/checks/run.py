"""All checks, in one table. A new check is a function from what is known to findings, and a row here."""

from __future__ import annotations

from guide.checks import answers, cars_seen, cover, missing, one_series, part_numbers, periods, placed, stated
from guide.checks.known import Check, Known
from guide.finding import Finding

__all__ = ["CHECKS", "check_guide"]

CHECKS: tuple[Check, ...] = (
    placed.check_statements_within_production,
    cars_seen.check_observers_agree,
    cars_seen.check_lines_repeated,
    cars_seen.check_cars_within_claims,
    cars_seen.check_cars_in_time,
    cars_seen.check_cars_within_production,
    answers.check_answers_differ,
    answers.check_answers_speak,
    answers.check_more_than_one_form,
    cover.check_every_time_has_a_form,
    one_series.check_numbers_tell_the_series,
    one_series.check_every_series_stated,
    stated.check_order_as_stated,
    stated.check_order_given,
    stated.check_said_once,
    stated.check_shares_reach,
    periods.check_periods_follow,
    periods.check_periods_told_apart,
    missing.check_pictures,
    missing.check_pictures_used,
    missing.check_credits,
    missing.check_plates,
    missing.check_descriptions,
    missing.check_sources,
    part_numbers.check_numbers_given_once,
    part_numbers.check_successors,
    part_numbers.check_supply,
)


def check_guide(known: Known) -> tuple[Finding, ...]:
    """Return what every check has to say, ordered by file, line, column and code."""
    found = [finding for check in CHECKS for finding in check(known)]
    return tuple(sorted(found, key=lambda finding: finding.sort_key))
