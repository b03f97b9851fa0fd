"""guide.yml: the guide as a whole. Splits and the guide's own constants are read first, the rest hangs on them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from guide.constants import CONSTANTS
from guide.facts.desk import Desk
from guide.facts.fields import (
    Field,
    Reader,
    Record,
    Row,
    day,
    duration_days,
    ids,
    is_blank,
    list_of,
    shape_of,
    share,
    share_of_text,
    source_id,
    text,
    when,
    whole,
    yes_no,
)
from guide.facts.interiors import rest_or_share
from guide.facts.problem import Problem, nearest
from guide.facts.references import form_ref
from guide.facts.scopes import scope
from guide.facts.source import Items, Keyed, Node
from guide.facts.types import (
    ChangedTogether,
    Closure,
    Production,
    RenewedTogether,
    Scope,
    ShareRow,
    Split,
    SplitValue,
    Text,
)

__all__ = ["GUIDE", "RECORDS", "GuideFile", "read_guide_file", "read_overrides", "read_splits", "read_together"]

FORMAT = "1"


def _raw(shape: str) -> Reader[Node]:
    return Reader(shape, lambda node, _: node)


FIRST = Field("first", day, "the day of the first car", True)
LAST = Field("last", day, "the day of the last car", True)
MADE = Field("made", whole, "how many cars were made")
SOURCE = Field("source", source_id, "whose word it is")
PRODUCTION_RECORD = Record("the production", "guide.yml, under `production:`", (FIRST, LAST, MADE, SOURCE))

FROM = Field("from", day, "the first day when nothing was built", True)
TO = Field("to", day, "the last such day", True)
WHY = Field("why", text, "the reason", True)
SERIES = Field("series", ids, "the number series concerned; left out, all")
CLOSURE = Record("a closure", "guide.yml, under `closed:`", (FROM, TO, WHY, SOURCE, SERIES))

VALUES = Field("values", _raw("a list of ids, or each id with its name"), "its values", True)
NAME = Field("name", text, "what readers will see")
SPLIT = Record("a split", "guide.yml, under `splits:`, under its id", (NAME, VALUES))
VALUE = Record("a value of a split", "guide.yml, under `values:`; beside its name it may settle another split, as "
               "`hand: right`", (NAME,))

SHARE_FROM = Field("from", when, "since when")
SHARE_TO = Field("to", when, "until when")
SHARE = Field("share", rest_or_share, "of the cars of that time", True)
SHARE_ROW = Record("a share of a split", "guide.yml, under `shares:`; the split's id is the key of its value, as "
                   "`market: home`. A later line overrides an earlier one in its time", (SHARE_FROM, SHARE_TO, SHARE, SOURCE))

TOGETHER_NAME = Field("name", text, "what happened, in words", True)
FOR = Field("for", scope, "which cars; left out, all")
FORMS = Field("forms", list_of(form_ref, "a list of forms, each as mark/form"), "the forms that came in", True)
CHANGED = Record("marks changed together", "guide.yml, under `changed together:`", (TOGETHER_NAME, FOR, FORMS, SOURCE))

ID = Field("id", text, "its id; left out, made from the name")
JOB = Field("name", text, "the job, as `a re-trim`", True)
MARKS = Field("marks", ids, "the marks that it replaces", True)
SHARE_DONE = Field("share", share, "of cars today that have had it done", True)
RENEWED = Record("marks renewed together", "guide.yml, under `renewed together:`; sets do not overlap",
                 (ID, JOB, MARKS, SHARE_DONE))

FORMAT_FIELD = Field("format", text, "1: the shape of these files", True)
TITLE = Field("title", text, "the guide's title", True)
CAR = Field("car", text, "the model, as it is called in a sentence", True)
SUBTITLE = Field("subtitle", text, "one line under the title")
EDITION = Field("edition", text, "a name such as 2026 autumn, not the day of building", True)
LANGUAGE = Field("language", text, "a language tag, as en-GB")
LICENCE = Field("licence", text, "an SPDX identifier, as CC-BY-SA-4.0")
CONTACT = Field("contact", text, "where corrections go")
PRODUCTION = Field("production", _raw("first, last, made and source"), "the whole build", True)
FINE = Field("fine enough", duration_days, "a span short enough to stop asking; left out, 3 months")
MASK = Field("mask numbers", yes_no, "`no` to print numbers of cars seen in full; left out, their last two digits are hidden")
CLOSED = Field("closed", _raw("a list of closures"), "days when nothing was built")
SPLITS = Field("splits", _raw("each split under its id"), "ways in which cars of one time differ: hand, market, plant")
SHARES = Field("shares", _raw("a list of shares"), "how the cars divided over a split")
CHANGED_TOGETHER = Field("changed together", _raw("a list"), "forms that came in at one moment")
RENEWED_TOGETHER = Field("renewed together", _raw("a list"), "marks that one later job replaces together")
DEFAULTS = Field("defaults", _raw("constants by name"), "your own values for constants of DEVELOPERS.md")
GUIDE = Record("the guide", "guide.yml", (
    FORMAT_FIELD, TITLE, CAR, SUBTITLE, EDITION, LANGUAGE, LICENCE, CONTACT, PRODUCTION, FINE, MASK, CLOSED, SPLITS,
    SHARES, CHANGED_TOGETHER, RENEWED_TOGETHER, DEFAULTS))
RECORDS = (GUIDE, PRODUCTION_RECORD, CLOSURE, SPLIT, VALUE, SHARE_ROW, CHANGED, RENEWED)


@dataclass(frozen=True, slots=True)
class GuideFile:
    """What guide.yml says beside splits, constants and what belongs together."""

    row: Row
    production: Production | None
    closures: tuple[Closure, ...]
    shares: tuple[ShareRow, ...]


def read_splits(node: Node | None, desk: Desk) -> dict[str, Split]:
    """Return the splits by id; a value may settle a value of another split."""
    if node is None or is_blank(node):
        return {}
    if not isinstance(node, Keyed):
        desk.say("wrong-shape", node.place, f"expected each split under its id, found {shape_of(node)}",
                 "write it as `hand: [right, left]` under `splits:`")
        return {}
    raw: dict[str, tuple[Text, str, list[tuple[Text, Node]]]] = {}
    for key, value in node.pairs:
        if not desk.usable_id(key, "a split"):
            continue
        name, values = str(key).capitalize(), value
        if isinstance(value, Keyed):
            row = SPLIT.open(value, desk)
            if row is None or row.incomplete:
                continue
            name, values = row.get(NAME, Text(name, key.place)), row.need(VALUES)
        pairs = _value_pairs(values, desk)
        if pairs:
            raw[str(key)] = key, name, pairs
    known = {split: tuple(str(value) for value, _ in pairs) for split, (_, _, pairs) in raw.items()}
    return {
        split: Split(id=split, name=name, place=key.place, values={
            str(value): made for value, node_ in pairs if (made := _value(value, node_, split, known, desk))})
        for split, (key, name, pairs) in raw.items()
    }


def _value_pairs(values: Node, desk: Desk) -> list[tuple[Text, Node]]:
    if isinstance(values, Keyed):
        pairs = list(values.pairs)
    else:
        items = values.items if isinstance(values, Items) else (values,)
        pairs = [(item, Text("", item.place)) for item in items if isinstance(item, Text)]
    return [(key, value) for key, value in pairs if desk.usable_id(key, "a value of a split")]


def _value(key: Text, node: Node, split: str, known: Mapping[str, tuple[str, ...]], desk: Desk) -> SplitValue | None:
    plain = str(key).replace("-", " ").capitalize()
    if isinstance(node, Text):
        return SplitValue(id=str(key), name=node or plain, place=key.place)
    others = tuple(other for other in known if other != split)
    row = VALUE.open(node, desk, also=others)
    if row is None:
        return None
    settles = {}
    for other in others:
        value = row.node.get(other)
        if value is None:
            continue
        scalar = text.read(value, desk)
        if scalar is not None and desk.refer(scalar, known[other], "split value", f"the split {other}"):
            settles[other] = str(scalar)
    return SplitValue(id=str(key), name=row.get(NAME, plain), settles=settles, place=key.place)


def read_overrides(node: Node | None, desk: Desk) -> dict[str, float]:
    """Return the constants that the guide states for itself, by their id."""
    if node is None or is_blank(node):
        return {}
    if not isinstance(node, Keyed):
        desk.say("wrong-shape", node.place, f"expected constants by name, found {shape_of(node)}",
                 "write lines such as `about month days: 20`")
        return {}
    found = {}
    for key, value in node.pairs:
        name = re.sub(r"[\s-]+", "_", key.casefold())
        scalar = text.read(value, desk)
        if name not in CONSTANTS:
            near = nearest(name, CONSTANTS)
            desk.say("unknown-constant", key.place, f"expected the name of a constant, found {str(key)!r}",
                     f"write {near.replace('_', ' ')}" if near else "the table in DEVELOPERS.md lists them")
        elif scalar is not None:
            number = share_of_text(scalar)
            if isinstance(number, Problem) and re.fullmatch(r"\d+(\.\d+)?", scalar):
                number = float(scalar)
            if isinstance(number, Problem):
                desk.say("not-a-number-typed", scalar.place, f"expected a number for {key}, found {str(scalar)!r}",
                         f"write it in {CONSTANTS[name].unit}")
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
        desk.say("unknown-format", typed.place, f"expected format {FORMAT}, found {str(typed)!r}",
                 "these files were made for another release of this program")
    if row.given(LANGUAGE):
        _check_language(row.get(LANGUAGE, Text("", row.place)), desk)
    production = _production(row.find(PRODUCTION), desk)
    return GuideFile(row, production, _closures(row.find(CLOSED), production, desk), _shares(row.find(SHARES), desk))


def _check_language(tag: Text, desk: Desk) -> None:
    if not re.fullmatch(r"[A-Za-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|\d{3}))?(-([a-z0-9]{5,8}|\d[a-z0-9]{3}))*", tag):
        desk.say("bad-language-tag", tag.place, f"expected a language tag, found {str(tag)!r}",
                 f"write {tag.replace('_', '-')}" if "_" in tag else "write it as en-GB, de or zh-Hant-TW")


def _items(node: Node | None) -> tuple[Node, ...]:
    if node is None or is_blank(node):
        return ()
    return node.items if isinstance(node, Items) else (node,)


def _production(node: Node | None, desk: Desk) -> Production | None:
    row = PRODUCTION_RECORD.open(node, desk) if node is not None else None
    if row is None or row.incomplete:
        return None
    first, last = row.need(FIRST), row.need(LAST)
    if first > last:
        desk.say("inverted-range", row.places["last"], f"production ends on {last}, before it begins on {first}",
                 "exchange `first:` and `last:`, or correct one")
        return None
    return Production(first=first, last=last, made=row.find(MADE), source=row.get(SOURCE, ""), place=row.place)


def _closures(node: Node | None, production: Production | None, desk: Desk) -> tuple[Closure, ...]:
    found: list[Closure] = []
    for one in _items(node):
        row = CLOSURE.open(one, desk)
        if row is None or row.incomplete:
            continue
        first, last = row.need(FROM), row.need(TO)
        series = tuple(str(name) for name in row.get(SERIES, ())
                       if desk.refer(name, tuple(desk.series) if desk.series_complete else None, "series", "numbers/"))
        if first > last:
            desk.say("inverted-range", row.places["to"], f"the closure ends on {last}, before it begins on {first}",
                     "exchange `from:` and `to:`, or correct one")
        elif production and (last < production.first or first > production.last):
            desk.say("closed-outside-production", row.place, f"the closure lies outside production, {production.first} to "
                     f"{production.last}", "correct its days, or take it out")
        else:
            found.append(Closure(first=first, last=last, why=row.need(WHY), source=row.get(SOURCE, ""), series=series,
                                 place=row.place))
    return tuple(found)


def _shares(node: Node | None, desk: Desk) -> tuple[ShareRow, ...]:
    found = []
    splits = desk.splits or {}
    for one in _items(node):
        row = SHARE_ROW.open(one, desk, also=tuple(splits))
        if row is None:
            continue
        named = [(split, value) for split in splits if (value := row.node.get(split)) is not None]
        if len(named) != 1:
            if desk.splits is not None:
                desk.say("one-of", row.place, f"expected one split with its value, as `market: home`, found {len(named)}",
                         f"name one of {', '.join(splits)}" if splits else "declare `splits:` first")
            continue
        split, node_ = named[0]
        value = text.read(node_, desk)
        if value is None or row.incomplete:
            continue
        first, last = row.find(SHARE_FROM), row.find(SHARE_TO)
        if first and last and first.earliest and last.latest and first.earliest > last.latest:
            desk.say("inverted-range", row.places["to"], f"{last.text!r} is before {first.text!r}",
                     "exchange `from:` and `to:`, or correct one")
        elif desk.refer(value, tuple(splits[split].values), "split value", f"the split {split}"):
            given = row.need(SHARE)
            found.append(ShareRow(split=split, value=str(value), share=given if isinstance(given, float) else None,
                                  first=first, last=last, source=row.get(SOURCE, ""), place=row.place))
    return tuple(found)


def read_together(row: Row, desk: Desk) -> tuple[tuple[ChangedTogether, ...], tuple[RenewedTogether, ...]]:
    """Return the forms that changed at one moment, and the marks that one job renews."""
    changed = []
    for one in _items(row.find(CHANGED_TOGETHER)):
        inner = CHANGED.open(one, desk)
        if inner is not None and not inner.incomplete:
            changed.append(ChangedTogether(name=inner.need(TOGETHER_NAME), forms=inner.need(FORMS),
                                           scope=inner.get(FOR, Scope()), source=inner.get(SOURCE, ""),
                                           place=inner.place))
    renewed = []
    stands: dict[str, Text] = {}
    for one in _items(row.find(RENEWED_TOGETHER)):
        inner = RENEWED.open(one, desk)
        if inner is None or inner.incomplete:
            continue
        marks = []
        for mark in inner.need(MARKS):
            if mark in stands:
                desk.say("renewed-twice", mark.place, f"the mark {mark} stands in two sets that are renewed together",
                         "leave it in one: sets do not overlap", ((stands[mark].place, "the first one"),))
            elif desk.mark(mark):
                stands[str(mark)] = mark
                marks.append(str(mark))
        name = inner.need(JOB)
        set_id = inner.get(ID, None) or "-".join(re.findall(r"[a-z0-9]+", name.casefold()))
        renewed.append(RenewedTogether(id=str(set_id), name=name, marks=tuple(marks), share=inner.need(SHARE_DONE),
                                       place=inner.place))
    return tuple(changed), tuple(renewed)
