"""The reference of everything an editor may type, printed from the records themselves and from examples.

Each example of a *when* is read by a test and must mean what stands beside it.
"""

from __future__ import annotations

from guide.facts.records.every import RECORDS
from guide.sentence import upper_first
from guide.words.say import Words

__all__ = ["WHENS", "describe_fields"]

# What is typed, the same in EDTF (ISO 8601-2:2019) where it has a way of saying it, and the sentence of what it means.
WHENS: tuple[tuple[str, str, str], ...] = (
    ("24 May 1968", "1968-05-24", "day"),
    ("May 1968", "1968-05", "month"),
    ("week 14 of 1969", "1969-W14", "week"),
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
    ("model year 1972", "", "model-year"),
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
    return "\n".join((title, "", f"| {heads} |", "|---|---|---|", *rows, "")) + "\n" + _of_records(words)


def _of_records(words: Words) -> str:
    parts = []
    for declared in RECORDS:
        parts.append(f"### {words.tell(upper_first(declared.name))}\n\n{words.tell(declared.where)}\n")
        head = [words.say(f"facts.describe.{column}") for column in ("key", "takes", "means")]
        parts.append(f"| {' | '.join(head)} |\n|---|---|---|")
        for one in declared.fields:
            name = f"`{one.name}`" + (f" {words.say('facts.describe.needed')}" if one.needed else "")
            parts.append(f"| {name} | {words.tell(one.reader.shape)} | {words.tell(declared.means(one))} |")
        parts.append("")
    return "\n".join(parts)
