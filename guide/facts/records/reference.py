"""The reference of everything an editor may type, printed from the records themselves and from examples.

Each example of a *when* is read by a test and must mean what stands beside it.
"""

from __future__ import annotations

from guide.facts.records import (
    areas,
    care,
    cars_seen,
    counts,
    fittings,
    forms,
    guide_file,
    interiors,
    marks,
    periods,
    rulings,
    series,
    sources,
    splits,
    statements,
    statements_csv,
    together,
)
from guide.facts.records import vocabulary as words
from guide.facts.records.fields import Record, describe

__all__ = ["RECORDS", "WHENS", "describe_fields"]

RECORDS: tuple[Record, ...] = (
    *guide_file.RECORDS,
    *splits.RECORDS,
    *together.RECORDS,
    *series.RECORDS,
    *sources.RECORDS,
    *periods.RECORDS,
    *interiors.RECORDS,
    *areas.RECORDS,
    *marks.RECORDS,
    *forms.RECORDS,
    *fittings.RECORDS,
    *counts.RECORDS,
    *statements.RECORDS,
    *rulings.RECORDS,
    *care.RECORDS,
    *words.RECORDS,
    statements_csv.COLUMNS,
    cars_seen.COLUMNS,
)

# What is typed, the same in EDTF (ISO 8601-2:2019) where it has a way of saying it, and what it means.
WHENS: tuple[tuple[str, str, str], ...] = (
    ("24 May 1968", "1968-05-24", "that day"),
    ("May 1968", "1968-05", "some day of that month"),
    ("1968", "1968", "some day of that year"),
    ("spring 1968", "1968-21", "March to May; summer is 22, autumn 23"),
    ("winter 1967/68", "1967-24", "December 1967 to February 1968"),
    ("about May 1968", "1968-05~", "that month and as much before and after as DEVELOPERS.md says of `about`"),
    ("probably May 1968", "1968-05?", "that month, and the source is not sure"),
    ("by June 1968", "../1968-06", "not after the end of June"),
    ("from June 1968", "1968-06/..", "not before the start of June"),
    ("before June 1968", "", "not after 31 May"),
    ("after June 1968", "", "not before 1 July"),
    ("between March and May 1968", "1968-03/1968-05", "somewhere from March to May"),
    ("early 1968", "", "its first third; so mid and late, of a month too"),
    ("the 1960s", "196X", "some day of those ten years"),
    ("C1840", "", "the day that car was built; `car C1840` where it could be misread"),
    ("about 200 cars after C1840", "", "counted in cars, not in days"),
    ("start", "", "of production; `end` likewise"),
    ("start of restart", "", "of a period or number series, by its id"),
)


def describe_fields() -> str:
    """Return the reference as Markdown: how to say when, then every record with its keys."""
    rows = [f"| `{typed}` | {f'`{edtf}`' if edtf else ''} | {means} |" for typed, edtf, means in WHENS]
    head = ["### When", "", "| in words | by the standard | what it means |", "|---|---|---|", *rows, ""]
    return "\n".join(head) + "\n" + describe(RECORDS)
