"""Forms: the ways a mark is found, with their spells and statements."""

from __future__ import annotations

from collections.abc import Collection

from guide.facts.records.counts import counts
from guide.facts.records.fields import Field, Reader, Record, Row, is_blank, raw, shape_of
from guide.facts.records.fittings import read_fittings
from guide.facts.records.readers import list_of, said, said_texts, share, text, texts
from guide.facts.records.scopes import join_scopes, scope
from guide.facts.records.statements import read_stated
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import FittedAs, Form, FormRef, Scope, Spell, Statement, TakenFor, Text
from guide.sentence import sentence

__all__ = ["RECORDS", "count_spells", "read_form"]


NAME = Field("name", said, "the form's name", True)
ANSWER = Field("answer", said, "the answer in the key; it makes sense without its drawing", True)
PICTURE = Field("picture", text, "a file in pictures/; left out, it is `<mark>-<form>.svg`")
DESCRIBES = Field("describes", said, "the drawing in words, for those who cannot see it")
FOR = Field("for", scope, "the cars that could have it; leave it out for all")
FITTED_AS = Field(
    "fitted as",
    raw("a word, a list, or words with particulars"),
    "how it comes to be on a car; left out, the works fitted it",
)
SHARE = Field("share", share, "of the cars in its time that have it, when not all")
SPELLS = Field("spells", raw("a list of spells"), "its stretches of production, where it returned; first one first")
STATED = Field("stated", raw("a list of statements"), "what is claimed of when it was fitted")
COUNTS = Field("counts", counts, "how many are thought to have had it")
PART_NUMBERS = Field("part numbers", texts, "as the parts lists have them")
STAMPED = Field("stamped", said_texts, "marks stamped, moulded or printed on it")
TAKEN_FOR = Field("taken for", raw("a list, each with form or what, and tell"), "what it is easily taken for")
ABOUT = Field("about", text, "more about it (Markdown)")
WEAR = Field("wear", text, "how it wears or fails (Markdown)")
TO_BE_HAD = Field("to be had", text, "what can be had today (Markdown)")
FORMERLY = Field("formerly", texts, "ids it had before, to keep old links, notes and answers alive")
FORM = Record(
    "a form",
    "marks/*.yml, under `forms:`, under its id",
    (
        NAME,
        ANSWER,
        PICTURE,
        DESCRIBES,
        FOR,
        FITTED_AS,
        SHARE,
        STATED,
        SPELLS,
        COUNTS,
        PART_NUMBERS,
        STAMPED,
        TAKEN_FOR,
        ABOUT,
        WEAR,
        TO_BE_HAD,
        FORMERLY,
    ),
)
SPELL = Record("a spell", "marks/*.yml, under `spells:` of a form that returned", (FOR, SHARE, STATED))

WHICH = Field("form", text, "a form of this mark")
WHAT = Field("what", said, "something else")
TELL = Field("tell", text, "how to tell them apart (Markdown)", True)
TAKEN = Record(
    "a thing it is taken for", "marks/*.yml, under `taken for:` of a form; give `form` or `what`", (WHICH, WHAT, TELL)
)
RECORDS = (FORM, SPELL, TAKEN)


def count_spells(form: Node) -> int:
    """Return how many spells a form's node lists; one when it lists none."""
    spells = form.get("spells") if isinstance(form, Keyed) else None
    return max(len(spells.items), 1) if isinstance(spells, Items) else 1


def read_form(
    mark: str, key: Text, node: Node, siblings: Collection[str], desk: Desk
) -> tuple[Form, tuple[Statement, ...]] | None:
    """Return a form and its statements; None when it lacks what a page cannot do without."""
    row = FORM.open(node, desk)
    if row is None:
        return None
    fittings = read_fittings(row.find(FITTED_AS), row.place, siblings, desk)
    made_by_works = any(fitting.kind in (FittedAs.FACTORY, FittedAs.OPTION) for fitting in fittings)
    spells, statements = _spells(mark, key, row, desk)
    if not made_by_works:
        if statements:
            desk.say(
                "statement-without-works",
                statements[0].place,
                f"a statement of build stands under {key}, which the works did not fit",
                "write since when it was to be had as `from:` in `fitted as:`, and take the statement out",
            )
        spells, statements = (), ()
    if row.incomplete:
        return None
    form = Form(
        id=str(key),
        name=row.need(NAME),
        answer=row.need(ANSWER),
        picture=row.get(PICTURE, f"{mark}-{key}.svg"),
        describes=row.get(DESCRIBES, ""),
        fitted_as=fittings,
        scope=row.get(FOR, Scope()),
        spells=spells,
        counts=row.get(COUNTS, ()),
        part_numbers=row.get(PART_NUMBERS, ()),
        stamped=row.get(STAMPED, ()),
        taken_for=_taken_for(row.find(TAKEN_FOR), siblings, desk),
        about=row.get(ABOUT, ""),
        wear=row.get(WEAR, ""),
        to_be_had=row.get(TO_BE_HAD, ""),
        formerly=row.get(FORMERLY, ()),
        place=key.place,
    )
    return form, statements


def _spells(mark: str, key: Text, row: Row, desk: Desk) -> tuple[tuple[Spell, ...], tuple[Statement, ...]]:
    whole = row.get(FOR, Scope())
    node = row.find(SPELLS)
    if node is None:
        spell = Spell(form=str(key), number=1, scope=whole, share=row.find(SHARE), place=key.place)
        return (spell,), read_stated(row.find(STATED), FormRef(mark, str(key), 1), desk)
    if row.given(STATED):
        desk.say(
            "one-of",
            row.places["stated"],
            "`stated:` stands beside `spells:`, so its spell cannot be told",
            "move the statements under the spell they speak of",
        )
    if not isinstance(node, Items):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected a list of spells, found {shape_of(node)}",
            "begin each spell with a dash: `- stated:`",
        )
        return (), ()
    spells: list[Spell] = []
    statements: list[Statement] = []
    for number, one in enumerate(node.items, start=1):
        inner = None if is_blank(one) else SPELL.open(one, desk)
        place = one.place
        if inner is None:
            spells.append(Spell(form=str(key), number=number, scope=whole, place=place))
            continue
        spells.append(
            Spell(
                form=str(key),
                number=number,
                scope=join_scopes(whole, inner.get(FOR, Scope())),
                share=inner.get(SHARE, row.find(SHARE)),
                place=place,
            )
        )
        statements += read_stated(inner.find(STATED), FormRef(mark, str(key), number), desk)
    return tuple(spells), tuple(statements)


def _taken_for(node: Node | None, siblings: Collection[str], desk: Desk) -> tuple[TakenFor, ...]:
    if node is None:
        return ()

    def read(one: Node, desk: Desk) -> TakenFor | None:
        row = TAKEN.open(one, desk)
        if row is None or row.incomplete:
            return None
        form, what = row.find(WHICH), row.find(WHAT)
        if (form is None) == (what is None):
            desk.say(
                "one-of",
                row.place,
                "expected one of `form:` and `what:`, found " + ("neither" if form is None else "both"),
                "write the form's id, or what it is in words",
            )
            return None
        if form is not None and not desk.refer(form, siblings, "facts.unknown-form", sentence("facts.this-mark")):
            return None
        return TakenFor(form=str(form or ""), what=str(what or ""), tell=row.need(TELL), place=one.place)

    return list_of(Reader("", read)).read(node, desk) or ()
