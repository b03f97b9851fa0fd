"""guide.yml: the guide as a whole. Splits and its own constants are read first: the rest hangs on them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from guide.constants import CONSTANTS
from guide.facts.records.fields import Field, Record, Row, is_blank, items_of, raw, shape_of
from guide.facts.records.readers import day, duration_days, ids, said, share_of_text, source_id, text, whole, yes_no
from guide.facts.records.splits import read_shares
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem, nearest
from guide.facts.text.source import Keyed, Node
from guide.facts.types import Closure, Production, ShareRow, Text

__all__ = ["CHANGED_TOGETHER", "GUIDE", "RECORDS", "RENEWED_TOGETHER", "GuideFile", "read_guide_file", "read_overrides"]

FORMAT = "1"


FIRST = Field("first", day, "the day of the first car", True)
LAST = Field("last", day, "the day of the last car", True)
MADE = Field("made", whole, "how many cars were made")
SOURCE = Field("source", source_id, "whose word it is")
PRODUCTION_RECORD = Record("the production", "guide.yml, under `production:`", (FIRST, LAST, MADE, SOURCE))

FROM = Field("from", day, "the first day when nothing was built", True)
TO = Field("to", day, "the last such day", True)
WHY = Field("why", said, "the reason", True)
SERIES = Field("series", ids, "the number series concerned; left out, all")
CLOSURE = Record("a closure", "guide.yml, under `closed:`", (FROM, TO, WHY, SOURCE, SERIES))

FORMAT_FIELD = Field("format", text, "1: the shape of these files", True)
TITLE = Field("title", said, "the guide's title", True)
CAR = Field("car", said, "the model, as it is called in a sentence", True)
SUBTITLE = Field("subtitle", said, "one line under the title")
EDITION = Field("edition", text, "a name such as autumn 2026, not the day of building", True)
LANGUAGE = Field("language", text, "a language tag, as en-GB")
LICENCE = Field("licence", text, "an SPDX identifier, as CC-BY-SA-4.0")
CONTACT = Field("contact", said, "where corrections go")
PRODUCTION = Field("production", raw("first, last, made and source"), "the whole build", True)
FINE = Field("fine enough", duration_days, "a span short enough to stop asking; left out, 3 months")
MASK = Field(
    "mask numbers", yes_no, "`no` to print numbers of cars seen in full; left out, their last two digits are hidden"
)
CLOSED = Field("closed", raw("a list of closures"), "days when nothing was built")
SPLITS = Field("splits", raw("each split under its id"), "ways in which cars of one time differ: hand, market, plant")
SHARES = Field("shares", raw("a list of shares"), "how the cars divided over a split")
CHANGED_TOGETHER = Field("changed together", raw("a list"), "forms that came in at one moment")
RENEWED_TOGETHER = Field("renewed together", raw("a list"), "marks that one later job replaces together")
DEFAULTS = Field("defaults", raw("constants by name"), "your own values for constants of DEVELOPERS.md")
GUIDE = Record(
    "the guide",
    "guide.yml",
    (
        FORMAT_FIELD,
        TITLE,
        CAR,
        SUBTITLE,
        EDITION,
        LANGUAGE,
        LICENCE,
        CONTACT,
        PRODUCTION,
        FINE,
        MASK,
        CLOSED,
        SPLITS,
        SHARES,
        CHANGED_TOGETHER,
        RENEWED_TOGETHER,
        DEFAULTS,
    ),
)
RECORDS = (GUIDE, PRODUCTION_RECORD, CLOSURE)


@dataclass(frozen=True, slots=True)
class GuideFile:
    """What guide.yml says beside splits, constants and what belongs together."""

    row: Row
    production: Production | None
    closures: tuple[Closure, ...]
    shares: tuple[ShareRow, ...]


def read_overrides(node: Node | None, desk: Desk) -> dict[str, float]:
    """Return the constants that the guide states for itself, by their id."""
    if node is None or is_blank(node):
        return {}
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected constants by name, found {shape_of(node)}",
            "write lines such as `about month days: 20`",
        )
        return {}
    found = {}
    for key, value in node.pairs:
        name = re.sub(r"[\s-]+", "_", key.casefold())
        scalar = text.read(value, desk)
        if name not in CONSTANTS:
            near = nearest(name, CONSTANTS)
            desk.say(
                "unknown-constant",
                key.place,
                f"expected the name of a constant, found {str(key)!r}",
                f"write {near.replace('_', ' ')}" if near else "the table in DEVELOPERS.md lists them",
            )
        elif scalar is not None:
            number = share_of_text(scalar)
            if isinstance(number, Problem) and re.fullmatch(r"\d+(\.\d+)?", scalar):
                number = float(scalar)
            if isinstance(number, Problem):
                desk.find(
                    "facts.not-a-number-typed.default",
                    scalar.place,
                    key=str(key),
                    found=repr(str(scalar)),
                    number=f"{CONSTANTS[name].value:g}",
                    unit=CONSTANTS[name].unit,
                )
            else:
                found[name] = number
    return found


def read_guide_file(node: Node, desk: Desk) -> GuideFile | None:
    """Return what guide.yml says, once splits, sources and series are known."""
    row = GUIDE.open(node, desk)
    if row is None:
        return None
    typed = row.find(FORMAT_FIELD)
    if typed is not None and typed != FORMAT:
        desk.say(
            "unknown-format",
            typed.place,
            f"expected format {FORMAT}, found {str(typed)!r}",
            "these files were made for another release of this program",
        )
    _check_language(row.find(LANGUAGE), desk)
    _check_licence(row.find(LICENCE), desk)
    production = _production(row.find(PRODUCTION), desk)
    return GuideFile(
        row, production, _closures(row.find(CLOSED), production, desk), read_shares(row.find(SHARES), desk)
    )


def _check_licence(licence: Text | None, desk: Desk) -> None:
    """Say that a licence is no SPDX identifier; of those a guide is likely to name, the numbered ones are told."""
    if licence is None:
        return
    commons = r"CC0-1\.0|CC-BY(-NC)?(-ND|-SA)?-([123]\.0|2\.5|4\.0)"
    if not re.fullmatch(commons if licence.upper().startswith("CC") else r"[A-Za-z0-9.+-]+", licence):
        desk.say(
            "unknown-licence",
            licence.place,
            f"expected an SPDX identifier, found {str(licence)!r}",
            "write it as CC-BY-SA-4.0 or CC0-1.0, with its number; spdx.org lists them",
        )


def _check_language(tag: Text | None, desk: Desk) -> None:
    if tag is not None and not re.fullmatch(
        r"[A-Za-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|\d{3}))?(-([a-z0-9]{5,8}|\d[a-z0-9]{3}))*", tag
    ):
        desk.say(
            "bad-language-tag",
            tag.place,
            f"expected a language tag, found {str(tag)!r}",
            f"write {tag.replace('_', '-')}" if "_" in tag else "write it as en-GB, de or zh-Hant-TW",
        )


def _production(node: Node | None, desk: Desk) -> Production | None:
    row = PRODUCTION_RECORD.open(node, desk) if node is not None else None
    if row is None or row.incomplete:
        return None
    first, last = row.need(FIRST), row.need(LAST)
    if first > last:
        desk.say(
            "inverted-range",
            row.places["last"],
            f"production ends on {last}, before it begins on {first}",
            "exchange `first:` and `last:`, or correct one",
        )
        return None
    return Production(first=first, last=last, made=row.find(MADE), source=row.get(SOURCE, ""), place=row.place)


def _closures(node: Node | None, production: Production | None, desk: Desk) -> tuple[Closure, ...]:
    found: list[Closure] = []
    for one in items_of(node):
        row = CLOSURE.open(one, desk)
        if row is None or row.incomplete:
            continue
        first, last = row.need(FROM), row.need(TO)
        series = tuple(
            str(name)
            for name in row.get(SERIES, ())
            if desk.refer(
                name, tuple(desk.series) if desk.series_complete else None, "facts.unknown-series", "numbers/"
            )
        )
        if first > last:
            desk.say(
                "inverted-range",
                row.places["to"],
                f"the closure ends on {last}, before it begins on {first}",
                "exchange `from:` and `to:`, or correct one",
            )
        elif production and (last < production.first or first > production.last):
            desk.say(
                "closed-outside-production",
                row.place,
                f"the closure lies outside production, {production.first} to {production.last}",
                "correct its days, or take it out",
            )
        else:
            found.append(
                Closure(
                    first=first,
                    last=last,
                    why=row.need(WHY),
                    source=row.get(SOURCE, ""),
                    series=series,
                    place=row.place,
                )
            )
    return tuple(found)
