"""interiors.yml: trim combinations as built."""

from __future__ import annotations

from guide.facts.records.counts import counts
from guide.facts.records.fields import Field, Reader, Record, keyed_records
from guide.facts.records.readers import in_order, list_of, rest_or_share, said, source_id, text, texts, when, yes_no
from guide.facts.records.scopes import scope
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import Interior, Scope, Span

__all__ = ["RECORDS", "read_interiors"]

FOR = Field("for", scope, "which cars")
FROM = Field("from", when, "the first one built", True)
TO = Field("to", when, "the last one built", True)
SOURCE = Field("source", source_id, "whose word it is")
SPAN = Record("a stretch", "interiors.yml, under `built:` of an interior", (FOR, FROM, TO, SOURCE))


def _span(node: Node, desk: Desk) -> Span | None:
    row = SPAN.open(node, desk)
    if row is None or row.incomplete:
        return None
    first, last = row.need(FROM), row.need(TO)
    if not in_order(first, last, row.places["to"], desk):
        return None
    return Span(scope=row.get(FOR, Scope()), first=first, last=last, source=row.get(SOURCE, ""), place=row.place)


NAME = Field("name", said, "the interior's name", True)
COLOUR = Field("colour", text, "its colour, in one word", True)
MATERIAL = Field("material", text, "what it is made of, in one word", True)
OPTION = Field("option", yes_no, "`yes` when it was fitted to order only")
SHARE = Field("share", rest_or_share, "of the cars that could have it")
BUILT = Field(
    "built", list_of(Reader("a stretch", _span), "a list of stretches"), "when it was built, and in which cars", True
)
COUNTS = Field("counts", counts, "how many are thought to have had it")
ASKED_AS = Field("asked as", said, "the answer, when the interior is asked for by eye")
PICTURE = Field("picture", text, "a file in pictures/ for that answer")
ABOUT = Field("about", text, "how it is known (Markdown)")
FORMERLY = Field("formerly", texts, "ids it had before, to keep old links alive")
INTERIOR = Record(
    "an interior",
    "interiors.yml, under its id",
    (NAME, COLOUR, MATERIAL, OPTION, SHARE, BUILT, COUNTS, ASKED_AS, PICTURE, ABOUT, FORMERLY),
)
RECORDS = (INTERIOR, SPAN)


def read_interiors(node: Node | None, desk: Desk) -> dict[str, Interior]:
    """Return the interiors by id, in the file's order."""
    interiors = {}
    for key, value in keyed_records(node, desk, "an interior"):
        row = INTERIOR.open(value, desk)
        if row is None or row.incomplete:
            continue
        share = row.find(SHARE)
        interiors[str(key)] = Interior(
            id=str(key),
            name=row.need(NAME),
            colour=row.need(COLOUR),
            material=row.need(MATERIAL),
            option=row.get(OPTION, False),
            rest=share == "rest",
            share=share if isinstance(share, float) else None,
            spans=row.need(BUILT),
            counts=row.get(COUNTS, ()),
            asked_as=row.get(ASKED_AS, ""),
            picture=row.get(PICTURE, ""),
            about=row.get(ABOUT, ""),
            formerly=row.get(FORMERLY, ()),
            place=key.place,
        )
    return interiors
