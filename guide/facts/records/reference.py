"""The reference of everything an editor may type, printed from the records themselves and from examples.

Each example of a *when* is read by a test and must mean what stands beside it.
"""

from __future__ import annotations

from guide.facts.records.areas import Area
from guide.facts.records.care import CareNote
from guide.facts.records.cars_seen import CarSeen
from guide.facts.records.counts import Count
from guide.facts.records.fields import describe, record_of
from guide.facts.records.fittings import Fitting
from guide.facts.records.forms import Form, Spell, TakenFor
from guide.facts.records.guide_file import Closure, Guide, Production
from guide.facts.records.interiors import Interior, Span
from guide.facts.records.marks import Mark
from guide.facts.records.periods import Period
from guide.facts.records.rulings import ReadAs, Ruling
from guide.facts.records.series import ModelYear, OutsideCars, Run, Series, Stray
from guide.facts.records.sources import Source
from guide.facts.records.splits import ShareRow, Split, SplitValue
from guide.facts.records.statements import CHANGE, Statement
from guide.facts.records.statements_csv import COLUMNS
from guide.facts.records.together import ChangedTogether, RenewedTogether
from guide.facts.records.vocabulary import Word
from guide.words.say import Words

__all__ = ["RECORDS", "WHENS", "describe_fields"]

RECORDS = (
    *map(record_of, (Guide, Production, Closure, Split, SplitValue, ShareRow, ChangedTogether, RenewedTogether)),
    *map(record_of, (Series, Run, Stray, OutsideCars, ModelYear, Source, Period, Interior, Span, Area)),
    *map(record_of, (Mark, Form, Spell, TakenFor, Fitting, Count, Statement)),
    CHANGE,
    *map(record_of, (Ruling, ReadAs, CareNote, Word)),
    COLUMNS,
    record_of(CarSeen),
)

# What is typed, the same in EDTF (ISO 8601-2:2019) where it has a way of saying it, and the sentence of what it means.
WHENS: tuple[tuple[str, str, str], ...] = (
    ("24 May 1968", "1968-05-24", "day"),
    ("May 1968", "1968-05", "month"),
    ("1968", "1968", "year"),
    ("spring 1968", "1968-21", "season"),
    ("winter 1967/68", "1967-24", "winter"),
    ("about May 1968", "1968-05~", "about"),
    ("probably May 1968", "1968-05?", "probably"),
    ("by June 1968", "../1968-06", "by"),
    ("from June 1968", "1968-06/..", "from"),
    ("before June 1968", "", "before"),
    ("after June 1968", "", "after"),
    ("between March and May 1968", "1968-03/1968-05", "between"),
    ("early 1968", "", "early"),
    ("the 1960s", "196X", "decade"),
    ("C1840", "", "car"),
    ("about 200 cars after C1840", "", "cars-after"),
    ("start", "", "start"),
    ("start of restart", "", "start-of"),
)


def describe_fields(words: Words) -> str:
    """Return the reference as Markdown: how to say when, then every record with its keys."""
    rows = [
        f"| `{typed}` | {f'`{edtf}`' if edtf else ''} | {words.say(f'facts.when.{means}')} |"
        for typed, edtf, means in WHENS
    ]
    heads = " | ".join(words.say(f"facts.describe.{column}") for column in ("in-words", "by-standard", "means"))
    title = f"### {words.say('facts.describe.when')}"
    return "\n".join((title, "", f"| {heads} |", "|---|---|---|", *rows, "")) + "\n" + describe(RECORDS, words)
